"""From operations as written to all operations of a build, in an order that can be worked.

Operations on the same part follow each other as they stand in the file; `after` adds to that; an assembly takes
the place of its parts. Of what could come next, the same operation on the other pieces comes first, so that a
setup serves all of them before it is changed.
"""

from collections.abc import Iterable, Mapping
from heapq import heappop, heappush

from msgspec import Struct

from benchbell.recipe.notes import Notes
from benchbell.recipe.pieces import Copies, in_piece, known_names
from benchbell.recipe.sheet import Assembly
from benchbell.recipe.written import OperationText, Recipe


class Step(Struct):
    """One operation on one piece (or "" for all), with what it works on and what must come before.

    row: the operation as written, by number. coat: which coat it is, from 1, or 0.
    """

    id: str
    row: int
    piece: str
    coat: int
    parts: tuple[str, ...]
    makes: str | None
    after: list[str]


class Course(Struct):
    """What the walk through the file knows: all steps, the last step of each part, what each went into."""

    steps: list[Step]
    last: dict[str, list[str]]
    into: dict[str, str]
    by_name: dict[str, dict[str, list[str]]]
    assemblies: list[Assembly]


def all_steps(recipe: Recipe, pieces: tuple[str, ...], copies: Copies, notes: Notes) -> Course:
    """Every step of every piece, as the file has them, and the assemblies they make."""
    course = Course([], {}, {}, {}, [])
    for row, written in enumerate(recipe.operation):
        if written.id in course.by_name:
            notes.error("twice", ("operation", row), f"Operation {written.id} is there twice.", "Give each its own id.")
            continue
        course.by_name[written.id] = {}
        for piece in ("",) if written.once else pieces:
            add_steps(course, written, row, piece, pieces, copies, notes)
    for step in course.steps:
        add_after(step, recipe.operation[step.row], course, notes)
    return course


def add_steps(
    course: Course,
    written: OperationText,
    row: int,
    piece: str,
    pieces: tuple[str, ...],
    copies: Copies,
    notes: Notes,
) -> None:
    """The steps of one operation on one piece: one for each coat, else one."""
    parts = parts_of(course, written, row, (piece,) if piece else pieces, copies, notes)
    coats = written.coat.coats if written.coat else 1
    for coat in range(1, coats + 1):
        name = f"{written.id}-{coat}" if coats > 1 else written.id
        made = make_assembly(course, written, row, piece, name, parts, copies, notes) if coat == 1 else None
        before = [id for part in parts for id in course.last.get(part, ())]
        step = Step(in_piece(piece, name), row, piece, coat if written.coat else 0, parts, made, unique(before))
        course.steps.append(step)
        course.by_name[written.id].setdefault(piece, []).append(step.id)
        for part in (*parts, *((made,) if made else ())):
            course.last[part] = [step.id]


def parts_of(
    course: Course, written: OperationText, row: int, pieces: Iterable[str], copies: Copies, notes: Notes
) -> tuple[str, ...]:
    """The ids an operation works on; a part that went into an assembly before is an error."""
    found: list[str] = []
    for name in written.parts:
        if not copies.known(name):
            what = f"Operation {written.id} works on “{name}”, which is no part or assembly up to here."
            notes.error("unknown-name", ("operation", row, "parts"), what, known_names(copies))
        found += [id for piece in pieces for id in copies.ids(name, piece)]
    for id in found:
        if id in course.into:
            what = f"Operation {written.id} works on {id}, which went into {course.into[id]} before."
            next_step = f"Move it up, before that glue-up, or work on {course.into[id].rpartition('/')[2]}."
            notes.error("already-joined", ("operation", row, "parts"), what, next_step)
    return tuple(unique(found))


def make_assembly(
    course: Course,
    written: OperationText,
    row: int,
    piece: str,
    name: str,
    parts: tuple[str, ...],
    copies: Copies,
    notes: Notes,
) -> str | None:
    """The assembly this step makes, if any; its parts are then inside it."""
    if written.makes is None:
        return None
    if piece in copies.by_name.get(written.makes, {}):
        what = f"Operation {written.id} makes {written.makes}, which is there already."
        notes.error("twice", ("operation", row, "makes"), what, "Give the assembly its own name.")
        return None
    if not parts:
        what = f"Operation {written.id} makes {written.makes} of nothing."
        notes.error("no-parts", ("operation", row), what, "Name its parts.")
        return None
    made = in_piece(piece, written.makes)
    copies.by_name.setdefault(written.makes, {})[piece] = (made,)
    course.into |= dict.fromkeys(parts, made)
    title = written.makes.replace("-", " ").capitalize()
    course.assemblies.append(
        Assembly(made, piece, written.makes, title, parts, in_piece(piece, name), place=written.place)
    )
    return made


def add_after(step: Step, written: OperationText, course: Course, notes: Notes) -> None:
    """What `after` names: the same piece's operation, or that of all pieces."""
    for name in written.after:
        named = course.by_name.get(name)
        if named is None:
            what = f"Operation {written.id} comes after “{name}”, which is no operation here."
            next_step = f"Use one of: {', '.join(sorted(course.by_name)[:12])}."
            notes.error("unknown-name", ("operation", step.row, "after"), what, next_step)
            continue
        own = named.get(step.piece) or named.get("")
        ids = own if own else [id for of_piece in named.values() for id in of_piece]
        step.after = unique([*step.after, *(ids[-1:] if own else ids)])


def unique(ids: Iterable[str]) -> list[str]:
    """The same, each once, in order."""
    return list(dict.fromkeys(ids))


def in_order(course: Course, notes: Notes) -> list[Step]:
    """The steps in an order that can be worked. A circle is named, and its steps are left out."""
    rank = {step.id: (step.row, step.coat, step.piece) for step in course.steps}
    open_before = {step.id: {id for id in step.after if id in rank} for step in course.steps}
    then: dict[str, list[str]] = {id: [] for id in rank}
    for id, before in open_before.items():
        for earlier in before:
            then[earlier].append(id)
    by_id = {step.id: step for step in course.steps}
    heap: list[tuple[tuple[int, int, str], str]] = []
    for id, before in open_before.items():
        if not before:
            heappush(heap, (rank[id], id))
    ordered: list[Step] = []
    while heap:
        _, id = heappop(heap)
        ordered.append(by_id[id])
        for later in then[id]:
            open_before[later].discard(id)
            if not open_before[later]:
                heappush(heap, (rank[later], later))
    stuck = {id: before for id, before in open_before.items() if before}
    if stuck:
        name_circle(stuck, by_id, notes)
    return ordered


def name_circle(stuck: Mapping[str, set[str]], by_id: Mapping[str, Step], notes: Notes) -> None:
    """A finding that walks one circle: each waits for the next."""
    way = [min(stuck)]
    while way.count(way[-1]) == 1:
        way.append(min(id for id in stuck[way[-1]] if id in stuck))
    circle = way[way.index(way[-1]) :]
    row = max(by_id[id].row for id in circle)
    notes.error(
        "circle",
        ("operation", row),
        f"These wait for each other: {' waits for '.join(id.rpartition('/')[2] for id in circle)}.",
        "Take out one `after`, or move an operation.",
    )
