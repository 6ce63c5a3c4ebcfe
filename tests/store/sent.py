"""Happenings as a phone would send them."""

import json
import uuid

PHONE, OTHER = "a" * 16, "b" * 16


def id7(n, device=PHONE):
    """A UUIDv7 that is the same each time."""
    return str(uuid.UUID(hex=f"019a0000{n:04x}7000{'8' + device[:3]}{n:012x}"))


def body(n, device=PHONE, kind="noted", build="stand", id=None, **what):
    """One happening's bytes, with a blank and a field that no program of ours would write."""
    told = {
        "id": id or id7(n, device),
        "n": n,
        "at": {"ms": 1_700_000_000_000 + n, "counter": 0, "device": device},
        "build": build,
        "about": [],
        "what": {"kind": kind, "text": f"note {n}", "unheard-of": [1.50, "é😀"], **what},
    }
    return json.dumps(told, ensure_ascii=False, separators=(",  ", ": ")).encode()


def bodies(first, last, device=PHONE):
    """Happenings `first` to `last`, both included."""
    return [body(n, device) for n in range(first, last + 1)]
