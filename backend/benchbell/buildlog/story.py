"""A build's log, made from its happenings: all entries in order, and planned and actual times of each operation.

What was not recorded is None, never estimated, and shown as "not recorded".
"""

from collections.abc import Mapping

from msgspec import Struct

from benchbell.bench.book import Book, order
from benchbell.bench.happenings import Happening, Photo, Remade, SetUp, Spoiled
from benchbell.bench.sentences import Wording, sentence_of
from benchbell.bench.state import Bench, OperationState, bench_of
from benchbell.buildlog.hands import hands_minutes
from benchbell.buildlog.titles import titles
from benchbell.durations import MINUTE_MS
from benchbell.recipe.sheet import Choice, Operation, SetValue, Sheet


class Entry(Struct, frozen=True):
    """One happening as a line of the log. who: device's name. undone: it no longer counts. photo: SHA-256, or ""."""

    ms: int
    who: str
    kind: str
    text: str
    about: tuple[str, ...]
    undone: bool
    photo: str = ""


class OperationLog(Struct, frozen=True):
    """An operation with planned and actual times. Times of day in ms since 1970; None where not recorded.

    hands_minutes: actual attended time, as in `hands.py`.
    """

    id: str
    piece: str
    title: str
    station: str
    setup: str | None
    parts: tuple[str, ...]
    status: str
    planned_minutes: float
    hands_minutes: float | None
    began_ms: int | None
    finished_ms: int | None
    glue: str
    celsius: float | None
    humidity: float | None
    planned_clamp_minutes: float | None
    clamp_minutes: float | None
    reasons: dict[str, str]
    checks: dict[str, bool]


class SizeLog(Struct, frozen=True):
    """A measured size beside the drawing's, in base units. others: different measurements of the same size."""

    name: str
    piece: str
    dim: str
    plan: float
    as_built: float
    within: float | None
    others: tuple[float, ...]


class SetupLog(Struct, frozen=True):
    """A setup as it was made. planned: the recipe's values; values: as set, by name, those recorded."""

    setup: str
    title: str
    station: str
    ms: int
    proved: bool
    planned: tuple[SetValue, ...]
    values: dict[str, float]


class Lost(Struct, frozen=True):
    """A spoiled part. remade_code: the label code of the part that replaces it, None when there is none."""

    part: str
    ms: int
    reason: str
    remade_code: str | None


class PhotoLog(Struct, frozen=True):
    """A photo that is not undone. shows: its caption, or the title of what it was taken of."""

    sha256: str
    ms: int
    who: str
    shows: str
    about: tuple[str, ...]


class BuildLog(Struct, frozen=True):
    """Everything a build's log shows."""

    build: str
    name: str
    title: str
    pieces: tuple[str, ...]
    units: str
    started_ms: int
    finished_ms: int | None
    entries: tuple[Entry, ...]
    operations: tuple[OperationLog, ...]
    sizes: tuple[SizeLog, ...]
    setups: tuple[SetupLog, ...]
    lost: tuple[Lost, ...]
    photos: tuple[PhotoLog, ...] = ()
    choices: tuple[Choice, ...] = ()


def build_log(build: str, book: Book, names: Mapping[str, str]) -> BuildLog | None:
    """The log of a build; None before its `started` happening has arrived. names: of devices by id."""
    started, bench = book.started(), bench_of(book)
    if started is None or bench is None:
        return None
    sheet = started.sheet
    wording = wording_of(sheet)
    happened = happenings_of(book)
    done = [state.marks.get("finished") for state in bench.operations.values()]
    hands = hands_minutes(sheet, bench, book)
    return BuildLog(
        build=build,
        name=started.name,
        title=sheet.title,
        pieces=sheet.pieces,
        units=sheet.units,
        started_ms=book.moment(happened[0]).ms,
        finished_ms=max(ms for ms in done if ms is not None) if bench.finished else None,
        entries=tuple(entry(h, book, wording, names) for h in happened),
        operations=tuple(operation_log(op, bench.operations[op.id], hands.get(op.id)) for op in sheet.operations),
        sizes=sizes(sheet, bench),
        setups=setups(sheet, happened, book),
        lost=lost(happened, book),
        photos=tuple(
            photo(h, h.what, book, sheet, names) for h in happened if isinstance(h.what, Photo) and book.counts(h)
        ),
        choices=sheet.choices,
    )


def happenings_of(book: Book) -> list[Happening]:
    """The build's happenings in order; among them those settings of the server's clock that fell into its time."""
    own = sorted(book.by_id.values(), key=order)
    settings = [one.recorded for one in book.clock_settings if own[0].at < one.recorded.at < own[-1].at]
    return sorted([*own, *settings], key=order) if settings else own


def wording_of(sheet: Sheet) -> Wording:
    """How the log writes the values in its sentences: in the recipe's units."""
    known = titles(sheet)
    return Wording(sheet, sheet.units, lambda id: known.get(id, id))


def entry(h: Happening, book: Book, wording: Wording, names: Mapping[str, str]) -> Entry:
    """One happening as an entry of the log."""
    kind = "" if h.what is None else str(h.what.__struct_config__.tag)
    sha256 = h.what.sha256 if isinstance(h.what, Photo) else ""
    undone = not book.counts(h)
    return Entry(book.moment(h).ms, who(h, names), kind, sentence_of(h.what, wording), h.about, undone, sha256)


def who(h: Happening, names: Mapping[str, str]) -> str:
    """The device's name; without one, the end of its id."""
    return names.get(h.at.device, f"device {h.at.device[-4:]}")


def photo(h: Happening, taken: Photo, book: Book, sheet: Sheet, names: Mapping[str, str]) -> PhotoLog:
    """One photo with its caption."""
    known = titles(sheet)
    of = next((known[id] for id in h.about if id in known), "The build")
    return PhotoLog(taken.sha256, book.moment(h).ms, who(h, names), taken.text or of, h.about)


def operation_log(op: Operation, state: OperationState, hands: float | None) -> OperationLog:
    """One operation with planned and actual times. hands: minutes of real attended time."""
    marks = state.marks
    clamp = next((clock for clock in op.clocks if clock.kind == "in-clamps"), None)
    return OperationLog(
        id=op.id,
        piece=op.piece,
        title=op.title,
        station=op.station,
        setup=op.setup,
        parts=op.parts,
        status=state.status,
        planned_minutes=op.minutes,
        hands_minutes=hands,
        began_ms=marks.get("began"),
        finished_ms=marks.get("finished"),
        glue=op.glue or op.finish,
        celsius=state.celsius,
        humidity=state.humidity,
        planned_clamp_minutes=None if clamp is None or clamp.least_ms is None else clamp.least_ms / MINUTE_MS,
        clamp_minutes=between(marks, "clamped", "clamps-off"),
        reasons=state.reasons,
        checks=state.checks,
    )


def between(marks: Mapping[str, int], first: str, last: str) -> float | None:
    """Minutes from one mark to another; None when one of them was not recorded."""
    if first not in marks or last not in marks:
        return None
    return (marks[last] - marks[first]) / MINUTE_MS


def sizes(sheet: Sheet, bench: Bench) -> tuple[SizeLog, ...]:
    """Every measured size."""
    by_name = {size.name: size for size in sheet.sizes}
    found = []
    for key, taken in bench.as_built.items():
        piece, _, name = key.partition("|")
        size = by_name[name]
        found.append(SizeLog(name, piece, size.dim, size.plan, taken.value, size.within, taken.others))
    return tuple(found)


def setups(sheet: Sheet, happened: list[Happening], book: Book) -> tuple[SetupLog, ...]:
    """Every setup of a station that is not undone."""
    known = {setup.id: setup for setup in sheet.setups}
    return tuple(
        SetupLog(
            h.what.setup,
            known[h.what.setup].title if h.what.setup in known else h.what.setup,
            h.what.station,
            book.moment(h).ms,
            h.what.proved,
            known[h.what.setup].set if h.what.setup in known else (),
            h.what.values,
        )
        for h in happened
        if isinstance(h.what, SetUp) and book.counts(h)
    )


def lost(happened: list[Happening], book: Book) -> tuple[Lost, ...]:
    """Every spoiled part with the code of the part that replaces it."""
    counted = [h for h in happened if book.counts(h)]
    return tuple(
        Lost(h.what.part, book.moment(h).ms, h.what.reason, code_after(h.what.part, h, counted))
        for h in counted
        if isinstance(h.what, Spoiled)
    )


def code_after(part: str, spoiled: Happening, counted: list[Happening]) -> str | None:
    """The label code of the part that was made again first after the spoiling; None without one."""
    made = (h.what.code for h in counted if isinstance(h.what, Remade) and h.what.part == part and h.at > spoiled.at)
    return next(made, None)
