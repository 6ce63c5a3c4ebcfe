"""What a build's happenings mean: each operation's and part's state, with no look at any clock.

When devices disagree the answer is the careful one: the later of two clampings counts, an operation that was
finished while its glue-up stands in clamps is not done, and whatever was done to a part before it was begun again
is undone for that part. Twin: pwa/src/bench/state.ts.
"""

from collections.abc import Container, Iterable, Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from benchbell.bench.book import CLOCK, Book, order
from benchbell.bench.happening_kinds import HAPPENING_KINDS
from benchbell.bench.happenings import (
    Acknowledged,
    Checked,
    Closed,
    CoatOn,
    GlueOn,
    Happening,
    Lengthened,
    Remade,
    Stamp,
    Started,
)
from benchbell.bench.measured import AsBuilt, as_built, bounded_sizes, kept_open
from benchbell.bench.parts import NEVER, Inside, Spoils, members, next_operations, spoils
from benchbell.bench.server_clock import Moment
from benchbell.bench.stations import Standing, standing, taken_down
from benchbell.recipe.sheet import Operation, Sheet, Size

Status = Literal["waiting", "ready", "in-hand", "in-clamps", "done", "spoiled"]

MARKS = tuple(kind for kind, row in HAPPENING_KINDS.items() if row.is_mark)
"""Kinds of happening that mark how far an operation is, in the order in which they may make each other void."""


class OperationState(Struct, frozen=True):
    """How far an operation is.

    marks: server time in ms of each mark that counts, and of the last part ticked, by the clock as it is now.
    stamps: the ms of their stamps, which order and name them. unsteady: of marks since which the server's clock was
    set, what is known of that. left: parts not through yet.
    waits_for: operations to be done first. to_measure: sizes that it has measured, but not within their bounds, so that
    it is finished and not done. lost: its spoiled parts. checks: by number, whether good.
    reasons: words given with a mark. lengthened: by clock, added ms. heard: rings acknowledged.
    celsius, humidity: given with the glue or coat.
    """

    status: Status
    marks: dict[str, int]
    left: tuple[str, ...]
    waits_for: tuple[str, ...]
    lost: tuple[str, ...]
    checks: dict[str, bool]
    reasons: dict[str, str]
    lengthened: dict[str, int]
    heard: tuple[str, ...]
    stamps: dict[str, int] = {}
    unsteady: dict[str, Moment] = {}
    celsius: float | None = None
    humidity: float | None = None
    to_measure: tuple[str, ...] = ()


class PartState(Struct, frozen=True):
    """How a part or assembly stands. code: its label now; old_codes: of those spoiled before it.

    inside: the assembly it is glued into now, or None. next: the operation that is next for it, or None.
    """

    spoiled: bool
    code: str
    old_codes: tuple[str, ...]
    inside: str | None
    next: str | None


class Bench(Struct, frozen=True):
    """The state of one build. unknown: happenings of kinds from a newer page. as_built: by "piece|size".

    taken_down: by station, when its setup was taken down, server time in ms; without those that were set up since.
    """

    operations: dict[str, OperationState]
    parts: dict[str, PartState]
    as_built: dict[str, AsBuilt]
    stations: dict[str, Standing]
    closed: bool
    finished: bool
    unknown: int
    taken_down: dict[str, int] = {}


def state_of(happenings: Iterable[Happening]) -> Bench | None:
    """The state after these happenings, in whatever order and however often they came."""
    book = Book()
    for h in happenings:
        book.add(h)
    return bench_of(book)


def bench_of(book: Book) -> Bench | None:
    """The state a book tells of; None before the build's beginning has arrived."""
    started = book.started()
    if started is None:
        return None
    sheet = started.sheet
    whole = book.changes_of("started", "spoiled", "remade")
    inside, spoilt = book.remember("whole", whole, lambda: whole_of(book, sheet))
    bounded = bounded_sizes(sheet)
    own = {op.id: gated(book, op, remembered_state(book, op, spoilt, whole), bounded) for op in sheet.operations}
    operations = {op.id: waiting(op, own) for op in sheet.operations}
    closed = book.latest("closed")
    return Bench(
        operations,
        part_states(book, started, inside, operations, spoilt.lost),
        book.remember("sizes", whole + book.changes_of("measured", CLOCK), lambda: as_built(book, sheet)),
        standing(book, sheet),
        closed is not None and isinstance(closed.what, Closed) and closed.what.closed,
        all(state.status == "done" for state in operations.values()),
        book.unknown,
        taken_down(book, sheet),
    )


def whole_of(book: Book, sheet: Sheet) -> tuple[Inside, Spoils]:
    """What concerns the build as a whole: what is in what, and what is lost."""
    inside = members(sheet)
    return inside, spoils(book, inside)


def remembered_state(book: Book, op: Operation, spoilt: Spoils, whole: int) -> OperationState:
    """The operation's state, worked out again only when one of its happenings, or the whole, changed."""
    changes = whole + book.changes_of(op.id, CLOCK)
    return book.remember(f"operation|{op.id}", changes, lambda: operation_state(book, op, spoilt))


def operation_state(book: Book, op: Operation, spoilt: Spoils) -> OperationState:
    """An operation's state from its own happenings; what it waits for is added by `waiting`."""
    fresh = {part: spoilt.fresh.get(part, NEVER) for part in op.parts}
    since = max(fresh.values(), default=NEVER)
    marks = live_marks(book, op, since)
    moments = {kind: book.moment(h) for kind, h in marks.items()}
    left = tuple(part for part in op.parts if not through(book, op.id, part, fresh[part]))
    missing = tuple(part for part in op.parts if part in spoilt.lost)
    status = status_of(marks, bool(missing))
    spread = marks.get("glue-on") or marks.get("coat-on")
    air = spread.what if spread is not None and isinstance(spread.what, GlueOn | CoatOn) else None
    return OperationState(
        status=status,
        marks={kind: moment.ms for kind, moment in moments.items()},
        stamps={kind: h.at.ms for kind, h in marks.items()},
        unsteady={kind: moment for kind, moment in moments.items() if moment.clock != "steady"},
        left=() if status == "done" else left,
        waits_for=(),
        lost=missing,
        checks=checks(book, op, since),
        reasons={kind: reason for kind, h in marks.items() if (reason := getattr(h.what, "reason", ""))},
        lengthened=lengthened(book, op, marks),
        heard=heard(book, op),
        celsius=air.celsius if air else None,
        humidity=air.humidity if air else None,
    )


def live_marks(book: Book, op: Operation, since: Stamp) -> dict[str, Happening]:
    """The marks that count: later than `since`, and after what they must follow; and the last part's tick."""
    marks = {kind: h for kind in MARKS if (h := book.latest(kind, op.id)) is not None and h.at > since}
    for kind in MARKS:
        before = [marks[earlier] for earlier in HAPPENING_KINDS[kind].follows if earlier in marks]
        if kind in marks and any(marks[kind].at < earlier.at for earlier in before):
            del marks[kind]
    ticks = [h for part in op.parts if (h := book.latest("ticked", op.id, part)) is not None and h.at > since]
    if ticks:
        marks["ticked"] = max(ticks, key=order)
    return marks


def status_of(marks: Mapping[str, Happening], is_lost: bool) -> Status:
    """How far the marks say the operation is; "ready" where nothing was begun."""
    if is_lost:
        return "spoiled"
    if "clamped" in marks and "clamps-off" not in marks:
        return "in-clamps"
    if "finished" in marks:
        return "done"
    return "in-hand" if marks else "ready"


def through(book: Book, operation: str, part: str, fresh: Stamp) -> bool:
    """Whether this part has been through the operation since it was last begun again."""
    done = (book.latest("ticked", operation, part), book.latest("finished", operation))
    return any(h is not None and h.at > fresh for h in done)


def gated(book: Book, op: Operation, state: OperationState, bounded: Mapping[str, Size]) -> OperationState:
    """The same state, "waiting" where it is finished, and what it measured is not within its bounds."""
    finished = book.latest("finished", op.id) if bounded and state.status == "done" else None
    to_measure = kept_open(book, op, finished, bounded)
    return replace(state, status="waiting", to_measure=to_measure) if to_measure else state


def waiting(op: Operation, own: Mapping[str, OperationState]) -> OperationState:
    """The same state, "waiting" where earlier operations are not done yet."""
    state = own[op.id]
    first = tuple(id for id in op.after if own[id].status != "done")
    if not first or state.status == "done":
        return state
    return replace(state, waits_for=first, status="waiting" if state.status == "ready" else state.status)


def checks(book: Book, op: Operation, since: Stamp) -> dict[str, bool]:
    """By the check's number, whether it was good when last looked at."""
    looked = {str(n): book.latest("checked", op.id, str(n)) for n in range(len(op.checks))}
    return {n: h.what.good for n, h in looked.items() if h and h.at > since and isinstance(h.what, Checked)}


def lengthened(book: Book, op: Operation, marks: Mapping[str, Happening]) -> dict[str, int]:
    """By clock, the milliseconds added since it started."""
    added: dict[str, int] = {}
    for clock in op.clocks:
        start = marks.get(clock.starts)
        more = [
            h.what.by_ms
            for h in book.all("lengthened", op.id, clock.kind)
            if start is not None and h.at > start.at and isinstance(h.what, Lengthened)
        ]
        if more:
            added[clock.kind] = sum(more)
    return added


def heard(book: Book, op: Operation) -> tuple[str, ...]:
    """Rings that were acknowledged since their clock was last lengthened, in order of their names."""
    since: dict[str, Stamp] = {
        clock.kind: h.at for clock in op.clocks if (h := book.latest("lengthened", op.id, clock.kind))
    }
    rings = {
        h.what.ring
        for h in book.all("acknowledged", op.id)
        if isinstance(h.what, Acknowledged) and h.at > since.get(h.what.ring.partition("|")[0], NEVER)
    }
    return tuple(sorted(rings))


def part_states(
    book: Book, started: Started, inside: Inside, operations: Mapping[str, OperationState], lost: Container[str]
) -> dict[str, PartState]:
    """Every part's and assembly's state, by id."""
    glued_up = {one: a.id for a in started.sheet.assemblies for one in a.of if is_joined(operations[a.by])}
    coming = next_operations(started.sheet, inside, {id for id, state in operations.items() if state.status == "done"})
    return {
        id: part_state(book, id, id in lost, started.codes.get(id, ""), glued_up.get(id), coming.get(id))
        for id in inside
    }


def is_joined(state: OperationState) -> bool:
    """Whether the operation that makes an assembly has put its parts together."""
    return "clamped" in state.marks or "finished" in state.marks


def part_state(book: Book, id: str, spoiled: bool, code: str, inside: str | None, next: str | None) -> PartState:
    """One part's state; `code` is the label it began with."""
    codes = [code, *(h.what.code for h in book.all("remade", id) if isinstance(h.what, Remade))]
    return PartState(spoiled, codes[-1], tuple(codes[:-1]), inside, next)
