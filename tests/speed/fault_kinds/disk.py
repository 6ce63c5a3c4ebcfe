"""A full disk: the kernel refuses the server every write to a file, its database's as well (setrlimit(2), FSIZE).

That is stricter than a full disk, on which what a file has already may still be overwritten.
"""

import hashlib
import io
import time
from pathlib import Path

import httpx
from histories.phone import Cut
from PIL import Image
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.trial import Trial, local

TRIES = 3


def start_full(folder: Path) -> Outcome:
    """The server starts on a full disk. It answers, gives out what it has, and rings; then there is room again.

    What rang meanwhile is known in memory only. It is written down once there is room, so that it rings once.
    """
    with local(folder) as trial:
        trial.phone.note()
        trial.phone.clamp()
        trial.phone.deliver()
        trial.server.kill()
        trial.tries += 1
        started = trial.server.start(full_disk=True)
        trial.expect(started, "the server does not start on a full disk")
        if started:
            trial.expect(len(trial.log()) == len(trial.phone.acknowledged), "not all entries can be read")
            trial.ring_now()
        else:
            trial.missed |= set(trial.all_due())
            trial.server.kill()
            trial.expect(trial.server.start(), "the server did not start once there was room")
        trial.server.make_room()
        trial.recover()
        return trial.judged()


def sync_full(folder: Path) -> Outcome:
    """The disk fills while the server runs. Nothing is called taken that is not; what runs rings; phones send again."""
    with local(folder) as trial:
        for _ in range(TRIES):
            trial.phone.clamp()
            trial.phone.deliver()
            trial.server.fill_disk()
            trial.phone.note()
            refuse(trial)
            trial.ring_now()
            trial.server.make_room()
            trial.tries += 1
            trial.recover()
        return trial.judged()


def refuse(trial: Trial) -> None:
    """What waits is refused because of the disk."""
    try:
        trial.phone.sync_once()
    except Cut as why:
        trial.expect(str(why) == "disk-full", f"a full disk is called {str(why) or 'nothing readable'}")
    else:
        trial.broken.append("a batch was called taken on a full disk")


def photo_full(folder: Path) -> Outcome:
    """A photo comes while the disk is full. It is refused with 507, and taken whole once there is room."""
    body = picture()
    path = f"/photos/{hashlib.sha256(body).hexdigest()}"
    with local(folder) as trial:
        for _ in range(TRIES):
            trial.server.fill_disk()
            refused = trial.phone.client.put(path, content=body)
            trial.expect(refused.status_code == 507, f"PUT /photos answers {refused.status_code} on a full disk")
            trial.server.make_room()
            trial.tries += 1
            trial.recover()
        trial.expect(is_ok(trial.phone.client.put(path, content=body)), "a photo is refused though there is room")
        trial.expect(trial.phone.client.get(path).content == body, "a photo does not come back as it was sent")
        return trial.judged()


def is_ok(answer: httpx.Response) -> bool:
    """Whether the server did as it was asked."""
    return answer.status_code == 200


def picture(side: int = 64) -> bytes:
    """A small PNG."""
    made = io.BytesIO()
    Image.effect_noise((side, side), 60).save(made, "PNG")
    return made.getvalue()


def calendar_full(folder: Path) -> Outcome:
    """The disk fills between the commit of an entry and the writing of its clock's calendar entry. The clock rings."""
    with local(folder) as trial:
        for _ in range(TRIES):
            trial.phone.clamp()
            trial.phone.deliver()
            trial.server.fill_disk()  # the alarm loop waits a tenth of a second for more news before it writes
            trial.ring_now()
            trial.server.make_room()
            trial.tries += 1
            trial.recover()
            time.sleep(0.2)
        return trial.judged()
