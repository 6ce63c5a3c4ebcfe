"""The kinds of clocks, as clock_kinds.toml has them: the one place that says how a kind rings, ends and is called.

The page has the same table: backend/build_page.py writes it. Twin: pwa/src/bench/clock_kinds.ts.
"""

from importlib.resources import files
from typing import Literal

import msgspec
from msgspec import Struct

from benchbell.recipe.sheet import ClockKind

TOO_COLD = "too-cold"
"""The stage that takes the place of a wait's end where it was colder than the glue can stand."""

AGAIN = "again"
"""The stages after the last one are "again-1", "again-2" and so on."""

Edge = Literal["least", "middle", "most"]
"""The moment a ring is counted from: the end of the wait, half of the time to the deadline, or the deadline."""


class RingText(Struct, frozen=True, forbid_unknown_fields=True):
    """What a ring says. title: a few words for a glance. text: what to do."""

    title: str
    text: str


class RingRow(Struct, frozen=True, forbid_unknown_fields=True):
    """One ring of a kind, offset_ms after its edge. may_wait: the person may leave the work for longer instead."""

    stage: str
    edge: Edge
    title: str
    text: str
    offset_ms: int = 0
    may_wait: bool = False


class Unclamped(Struct, frozen=True, forbid_unknown_fields=True):
    """What stands in place of a row's words of a glue-up that takes no clamps. title, text: its ring's.

    too_cold: the title where it was too cold; its text is the row's.
    """

    name: str
    running: str
    due: str
    late: str
    asks: str
    until: str
    title: str
    text: str
    too_cold: str


class Again(Struct, frozen=True, forbid_unknown_fields=True):
    """Rings that repeat until the clock is ended, heard or not. All of them say the same.

    offsets_ms: of the first repeats, after the end of the wait. then_each_ms: from one further repeat to the next.
    """

    offsets_ms: tuple[int, ...]
    then_each_ms: int
    title: str
    text: str


class Tone(Struct, frozen=True, forbid_unknown_fields=True):
    """How it sounds. hz: tones in turn. beat_s: the length of each. every_s: from one round to the next.

    buzz_ms: the phone's vibration, on and off in turn.
    """

    hz: tuple[int, ...]
    beat_s: float
    every_s: float
    buzz_ms: tuple[int, ...]


class ClockRow(Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of clock.

    name, icon: on its card; running, due, late: what the card says in that phase.
    asks: why the operation comes first once there is something to do, "" where nothing is.
    until: what the wait ends with, after the word "until"; "" for a deadline.
    end: the kind of happening that a person records to end it; None where it is enough that its ring was heard.
    cautions: ids of those worth a line beside a ring.
    too_cold: what its ring says instead where it was colder than the glue can stand; None where that cannot be.
    unclamped: the words for a glue-up that takes no clamps; None where they are the same.
    urgent: seconds count, so the page shows it large and counts smoothly.
    any_hour: rings in quiet hours too. reminder: it reminds of a danger rather than waits for the work: it frees no
    hands, cannot be made longer, and runs on when its build is put away unfinished.
    """

    name: str
    icon: str
    running: str
    due: str
    late: str
    tone: Tone
    rings: tuple[RingRow, ...]
    asks: str = ""
    until: str = ""
    cautions: tuple[str, ...] = ()
    end: str | None = None
    too_cold: RingText | None = None
    again: Again | None = None
    unclamped: Unclamped | None = None
    urgent: bool = False
    any_hour: bool = False
    reminder: bool = False


def read_clock_kinds() -> dict[ClockKind, ClockRow]:
    """The table. Raises msgspec.ValidationError for a kind that ClockKind lacks, or a row not of its form."""
    text = files(__package__).joinpath("clock_kinds.toml").read_bytes()
    return msgspec.toml.decode(text, type=dict[ClockKind, ClockRow])


CLOCK_KINDS = read_clock_kinds()


def again_stage(number: int) -> str:
    """The name of a repeat, counted from 1."""
    return f"{AGAIN}-{number}"


def ring_text(kind: ClockKind, stage: str, unclamped: bool = False) -> RingText:
    """What a ring says. unclamped: its glue-up takes no clamps.

    Raises LookupError for a stage that the kind has not.
    """
    row = CLOCK_KINDS[kind]
    other = row.unclamped if unclamped else None
    if stage == TOO_COLD and row.too_cold is not None:
        return RingText(other.too_cold, row.too_cold.text) if other else row.too_cold
    if stage.startswith(f"{AGAIN}-") and row.again is not None:
        return RingText(row.again.title, row.again.text)
    found = next((ring for ring in row.rings if ring.stage == stage), None)
    if found is None:
        raise LookupError(f"{kind} has no ring {stage!r}")
    said = other or found
    return RingText(said.title, said.text)
