"""The server of a history: asked, cut off, asked twice, restarted, restored.

Requests go straight to the route's function; how they come over the network is tested in tests/web.
"""

import asyncio
import json
import re
import shutil
import tempfile
from pathlib import Path
from types import SimpleNamespace

import msgspec
from benchbell.alerts.heartbeat import Heartbeat
from benchbell.bench.encoding import read_envelope
from benchbell.durations import DAY_MS
from benchbell.findings import Refused
from benchbell.settings import Settings
from benchbell.store.backup import back_up
from benchbell.store.restore import restore
from benchbell.store.sqlite_records import open_records
from benchbell.web.errors import detail_of
from benchbell.web.messages import Refusal
from benchbell.web.nudges import Listeners
from benchbell.web.scrubber import Found
from benchbell.web.sync import sync
from histories.phone import Cut
from scene import Clock, kept

FAST = Path("/dev/shm")
"""Where there is memory for files, thousands of histories need not wait for a disk; what a cut of power does is
tested elsewhere."""


class Shop:
    """A server on a folder of its own. late: requests that still hang in the network."""

    def __init__(self):
        self.folder = Path(tempfile.mkdtemp(dir=FAST if FAST.is_dir() else None))
        self.settings = Settings(self.folder / "data", (), self.folder, clock=Clock(), local=True)
        self.runner = asyncio.Runner()
        self.backups = 0
        self.late = []
        self.start()

    def start(self):
        self.records = self.runner.run(open_records(self.settings.data))

    def stop(self):
        self.runner.run(self.records.close())

    def restart(self):
        self.stop()
        self.start()

    def back_up(self) -> Path:
        self.backups += 1
        copy = self.folder / f"{self.backups}.zip"
        back_up(self.settings.data, copy)
        return copy

    def restore(self, copy: Path):
        self.stop()
        shutil.rmtree(self.settings.data)
        restore(copy, self.settings.data)
        self.start()

    def close(self):
        self.stop()
        self.runner.close()
        shutil.rmtree(self.folder)

    def ask(self, device, batch, after, log_epoch):
        """One request, to its end."""
        body = b'{"page":2,"log_epoch":"%s","after":%d,"happenings":[%s]}' % (
            log_epoch.encode(),
            after,
            b",".join(batch),
        )
        answer_body = self.runner.run(self.answer(device, body))
        return {**json.loads(answer_body), "happenings": pieces(answer_body.decode())}

    async def answer(self, device, body) -> bytes:
        """What the route answers, as it goes over the wire."""
        heartbeat = Heartbeat(self.settings.clock)
        shop = SimpleNamespace(
            records=self.records,
            listeners=Listeners(0, heartbeat.last_ms),
            heartbeat=heartbeat,
            server_clock=SimpleNamespace(reading=SimpleNamespace(base=0), at=lambda _: self.settings.clock()),
            settings=self.settings,
            latest_stamp=lambda: self.settings.clock() + DAY_MS,
            scrubber=SimpleNamespace(found=Found()),
        )
        app = SimpleNamespace(state=SimpleNamespace(runtime=shop))
        request = SimpleNamespace(state={"device": device}, app=app)
        try:
            answered = await sync.fn(body, request)
        except Refused as refused:
            return msgspec.json.encode(Refusal(detail_of(refused)[1]))
        return msgspec.json.encode(answered.content)

    def lost_on_the_way(self, *request):
        """The request does not arrive; it may still, later."""
        self.late.append(request)
        raise Cut

    def answer_lost(self, *request):
        """The request arrives; its answer does not."""
        self.ask(*request)
        raise Cut

    def twice(self, *request):
        """The network delivers it twice."""
        self.ask(*request)
        return self.ask(*request)

    def deliver_late(self, number):
        """One of the requests that hung arrives after all; nobody waits for its answer any more."""
        self.ask(*self.late.pop(number))

    def log(self) -> dict[str, bytes]:
        """Everything on its disk, by id, to the letter."""
        return {read_envelope(body).id: body for body in self.runner.run(kept(self.records))}


def pieces(text: str) -> list[bytes]:
    """The happenings of an answer to the letter; each of these tests' begins in the same way."""
    inside = re.search(r'"happenings":\[(.*)\],"position"', text, re.DOTALL)
    if inside is None or not inside[1]:
        return []
    return [b'{"id"' + one.rstrip(",").encode() for one in inside[1].split('{"id"')[1:]]
