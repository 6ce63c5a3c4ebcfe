"""What tests share: one noon, the phones, what they send, and a server whose clock moves only when told.

Builds with a sheet of their own stand in `small_recipes.py` and `alerts/sample.py`; random ones in `strategies.py`.
"""

import json
import uuid
from contextlib import contextmanager
from pathlib import Path

import msgspec
from benchbell.bench.happenings import Happening, Stamp
from benchbell.settings import Settings, shipped_recipes
from benchbell.store.sqlite_records import ask_records
from benchbell.web.app import create_app
from benchbell.web.messages import WIRE
from litestar.testing import TestClient
from msgspec import Raw

NOON = 1_764_072_000_000
"""2025-11-25 12:00 UTC."""

PHONE, OTHER = "a" * 16, "b" * 16
"""Two phones' names, as the server writes devices."""

PAGE = "<!doctype html><title>the page</title>"


def id7(n, device=PHONE):
    """A UUIDv7 that is the same each time."""
    return str(uuid.UUID(hex=f"019a0000{n:04x}7000{'8' + device[:3]}{n:012x}"))


def body(n, device=PHONE, kind="noted", build="stand", id=None, **what):
    """One happening's bytes, with a blank and a field that no program of ours would write."""
    entry = {
        "id": id or id7(n, device),
        "n": n,
        "at": {"ms": 1_700_000_000_000 + n, "counter": 0, "device": device},
        "build": build,
        "about": [],
        "what": {"kind": kind, "text": f"note {n}", "unheard-of": [1.50, "é😀"], **what},
    }
    return json.dumps(entry, ensure_ascii=False, separators=(",  ", ": ")).encode()


def encoded(n, ms, what, build, device=PHONE, when=None):
    """A happening as the page of a device sends it, stamped at this ms."""
    return msgspec.json.encode(Happening(id7(n, device), n, Stamp(ms, 0, device), build, (), what, when))


def bodies(first, last, device=PHONE):
    """Happenings `first` to `last`, both included."""
    return [body(n, device) for n in range(first, last + 1)]


async def kept(records):
    """The bytes of every happening in the records, by position."""
    whole = await records.slice_after(0, 1_000_000, most_bytes=10**9)
    return [bytes(raw) for raw in msgspec.json.decode(whole.listed, type=list[Raw])]


class Clock:
    """A machine's clocks, on which ms pass only when told; `set` sets its time of day, `reboot` starts it anew."""

    def __init__(self):
        self.ms, self.set_ms, self.boots, self.trusted = NOON, 0, 1, False

    def __call__(self):
        return self.ms

    def set(self, by):
        self.ms += by
        self.set_ms += by

    def reboot(self, by=0):
        self.set(by)
        self.boots += 1

    def uptime(self):
        return self.ms - self.set_ms - NOON

    def boot(self):
        return f"boot {self.boots}"

    def is_trusted(self):
        return self.trusted


def page_in(folder: Path) -> Path:
    """A built page, as small as one can be."""
    page = folder / "page"
    (page / "assets").mkdir(parents=True, exist_ok=True)
    (page / "index.html").write_text(PAGE, encoding="utf-8")
    (page / "worker.js").write_text("self.onfetch = null;", encoding="utf-8")
    (page / "manifest.webmanifest").write_text("{}", encoding="utf-8")
    (page / "assets" / "reader-1a2b.wasm").write_bytes(b"\0asm")
    return page


def settings_in(folder: Path, **changed) -> Settings:
    """Settings with everything inside one folder, and the recipes that come with the program."""
    clock = changed.get("clock", Clock())
    usual = {"data": folder / "data", "recipes": (shipped_recipes(),), "page": page_in(folder), "clock": clock}
    return Settings(**{**usual, "machine": clock, **changed})


@contextmanager
def for_one_machine(folder: Path, **changed):
    """A client of `serve --local`."""
    settings = settings_in(folder, local=True, **changed)
    with TestClient(create_app(settings), base_url="http://127.0.0.1:8000") as client:
        client.settings, client.shop = settings, client.app.state.runtime
        yield client


@contextmanager
def for_a_shop(folder: Path, **changed):
    """A client of the shop's server that is nobody yet."""
    settings = settings_in(folder, **changed)
    with TestClient(create_app(settings), base_url="https://bench.local:8443") as client:
        client.settings, client.shop = settings, client.app.state.runtime
        yield client


def pairing_code(client) -> str:
    """What `benchbell pair` would show."""
    settings = client.settings
    return ask_records(settings.data, lambda records: records.new_pairing_code(settings.clock(), settings.random_bytes))


def pair(client, name="bench phone") -> str:
    """Pair the client; gives its device id. Its cookie stays in the client."""
    answer = client.post("/pair", json={"code": pairing_code(client), "name": name})
    assert answer.status_code == 200, answer.text
    return answer.json()["device"]


def send(client, device, happenings=(), after=0, page=WIRE, **more):
    """One round trip of a phone of `serve --local`, its happenings to the letter."""
    head = b"".join([b'{"page":', str(page).encode(), b',"after":', str(after).encode(), extra(more)])
    body = head + b',"happenings":[' + b",".join(happenings) + b"]}"
    return client.post("/sync", content=body, headers={"Device": device} if device else {})


def extra(more) -> bytes:
    """Further fields of the request, texts and numbers."""
    return "".join(f',"{name}":{json.dumps(value)}' for name, value in more.items()).encode()
