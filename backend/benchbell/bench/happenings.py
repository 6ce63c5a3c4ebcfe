"""What is recorded at the bench: one struct a kind, and the order in which they stand.

A happening is never changed or deleted. What it says is stored to the letter as it came, so that a kind
from a newer page survives an older server and comes to life after the update.
"""

from typing import Annotated, Any, get_args

from msgspec import Meta, Struct

from benchbell.recipe.measure import MOST_VALUE
from benchbell.recipe.sheet import Sheet

SERVER = "0" * 16
"""The server's own name among the devices."""

SHOP = ""
"""The build of what concerns the whole shop: conditions, settings."""

Amount = Annotated[float, Meta(ge=-MOST_VALUE, le=MOST_VALUE)]
"""A size or a reading. What lies beyond the bounds is no such thing, and its entry cannot be read."""


class Stamp(Struct, frozen=True, order=True, gc=False):
    """Where something stands among all that happened. Sorts alike in Python and TypeScript.

    ms: server time as the device knew it, whole milliseconds since 1970 UTC, or later: a stamp is later than every
    stamp its device has met. So it orders and names, and never measures or shows a time: that is `When`.
    counter: order within one millisecond, 0 to 65535.
    device: 16 lower-case hex digits; ASCII, so that both twins sort it alike.
    """

    ms: int
    counter: int
    device: str


class When(Struct, frozen=True, gc=False):
    """When something was recorded, by the server's clock as the device knew it.

    ms: whole milliseconds since 1970 UTC. base: how often that clock had been set; see bench/server_clock.py.
    """

    ms: int
    base: int = 0


class Started(Struct, frozen=True, tag="started", tag_field="kind"):
    """A build begins: its sheet, the recipe's text, and each part's and assembly's label code."""

    name: str
    sheet: Sheet
    recipe: str
    codes: dict[str, str]


class Closed(Struct, frozen=True, tag="closed", tag_field="kind"):
    """The build is put away unfinished, or opened again (`closed` false)."""

    closed: bool
    reason: str = ""


class Began(Struct, frozen=True, tag="began", tag_field="kind"):
    """An operation is in hand.

    beside: planned minutes of the same operation in other builds, when it was begun with it in one stretch of work.
    """

    operation: str
    beside: Amount = 0


class Ticked(Struct, frozen=True, tag="ticked", tag_field="kind"):
    """One part of the operation is through."""

    operation: str
    part: str


class Finished(Struct, frozen=True, tag="finished", tag_field="kind"):
    """An operation is done; `reason` when it was finished against advice."""

    operation: str
    reason: str = ""


class SetUp(Struct, frozen=True, tag="set-up", tag_field="kind"):
    """A station stands in a setup. values: as set, by name, in mm or degrees. proved: a scrap was cut and fits."""

    setup: str
    station: str
    values: dict[str, Amount] = {}
    proved: bool = False


class SetupBroken(Struct, frozen=True, tag="setup-broken", tag_field="kind"):
    """A station stands in no known setup any more."""

    station: str


class Mixed(Struct, frozen=True, tag="mixed", tag_field="kind"):
    """Two-part glue or finish is mixed: its pot life runs."""

    operation: str


class GlueOn(Struct, frozen=True, tag="glue-on", tag_field="kind"):
    """The first glue is spread: open time runs. celsius, humidity (%): as known at the bench, else None."""

    operation: str
    celsius: Amount | None = None
    humidity: Amount | None = None


class Clamped(Struct, frozen=True, tag="clamped", tag_field="kind"):
    """A glue-up went into clamps."""

    operation: str


class Pared(Struct, frozen=True, tag="pared", tag_field="kind"):
    """Squeeze-out is pared off."""

    operation: str


class ClampsOff(Struct, frozen=True, tag="clamps-off", tag_field="kind"):
    """Clamps came off; `reason` when before their time."""

    operation: str
    reason: str = ""


class CoatOn(Struct, frozen=True, tag="coat-on", tag_field="kind"):
    """A coat of finish is on."""

    operation: str
    celsius: Amount | None = None
    humidity: Amount | None = None


class WipedOff(Struct, frozen=True, tag="wiped-off", tag_field="kind"):
    """Surplus finish is wiped off."""

    operation: str


class RagsSafe(Struct, frozen=True, tag="rags-safe", tag_field="kind"):
    """Oily rags are where they cannot catch fire."""

    operation: str


class Lengthened(Struct, frozen=True, tag="lengthened", tag_field="kind"):
    """A clock runs on for some more milliseconds. clock: its kind."""

    operation: str
    clock: str
    by_ms: int
    reason: str = ""


class Acknowledged(Struct, frozen=True, tag="acknowledged", tag_field="kind"):
    """A ring was heard. ring: see bench/clocks.py."""

    operation: str
    ring: str


class Measured(Struct, frozen=True, tag="measured", tag_field="kind"):
    """A size as built, in mm, degrees or percent. piece: "" for one that holds for the whole build."""

    size: str
    piece: str
    value: Amount


class Checked(Struct, frozen=True, tag="checked", tag_field="kind"):
    """One check of an operation, counted from 0, and whether it was good."""

    operation: str
    check: int
    good: bool
    note: str = ""


class Noted(Struct, frozen=True, tag="noted", tag_field="kind"):
    """Words about what `about` names."""

    text: str


class Photo(Struct, frozen=True, tag="photo", tag_field="kind"):
    """A picture of what `about` names; the picture itself is found by its SHA-256, in hex."""

    sha256: str
    type: str
    bytes: int
    text: str = ""


class Spoiled(Struct, frozen=True, tag="spoiled", tag_field="kind"):
    """A part or assembly is lost."""

    part: str
    reason: str = ""


class Remade(Struct, frozen=True, tag="remade", tag_field="kind"):
    """A spoiled part is begun again under a new label code."""

    part: str
    code: str


class Conditions(Struct, frozen=True, tag="conditions", tag_field="kind"):
    """Air at the bench: temperature and relative humidity in percent."""

    celsius: Amount
    humidity: Amount | None = None


class Kept(Struct, frozen=True, tag="kept", tag_field="kind"):
    """A setting of the shop: its name and its new value."""

    setting: str
    value: Any


class Undone(Struct, frozen=True, tag="undone", tag_field="kind"):
    """Another happening, by its id, no longer counts. Undoing an undo brings it back."""

    happening: str


class ClockSet(Struct, frozen=True, tag="clock-set", tag_field="kind"):
    """The server's clock was set. Only the server records it.

    base: the number of the setting that begins. by_ms: how far it was set forward, below zero back; times read on a
    base from `since` on move by that, exactly. earlier_ms: the most by which times of earlier bases move; None where
    they stand as they were written.
    """

    base: int
    since: int
    by_ms: int
    earlier_ms: int | None = None


What = (
    Started
    | Closed
    | Began
    | Ticked
    | Finished
    | SetUp
    | SetupBroken
    | Mixed
    | GlueOn
    | Clamped
    | Pared
    | ClampsOff
    | CoatOn
    | WipedOff
    | RagsSafe
    | Lengthened
    | Acknowledged
    | Measured
    | Checked
    | Noted
    | Photo
    | Spoiled
    | Remade
    | Conditions
    | Kept
    | ClockSet
    | Undone
)

KINDS: tuple[str, ...] = tuple(kind.__struct_config__.tag for kind in get_args(What))


class Happening(Struct, frozen=True, gc=False):
    """One recorded event.

    id: UUIDv7 (RFC 9562). n: gap-free from 1 on each device. build: its id, "" for the whole shop.
    about: ids of the parts, assemblies, operations, setups and stations concerned.
    what: None for a kind this program does not know yet. when: None on entries from before it was kept.
    """

    id: str
    n: int
    at: Stamp
    build: str
    about: tuple[str, ...]
    what: What | None
    when: When | None = None
