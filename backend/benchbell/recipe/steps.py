"""From operations as written to all steps of a build: what each works on, what it makes, what comes before it.

Operations on the same part follow each other as they stand in the file; `after` adds to that; an assembly takes
the place of its parts.
"""

from collections.abc import Iterable

from msgspec import Struct, field

from benchbell.recipe.notes import Notes, use_one_of
from benchbell.recipe.pieces import Copies, in_piece
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
    """What the walk through the file knows: all steps, the last step of each part, what each went into.

    by_name: by operation as written and piece, the ids of its steps. made_in: by assembly, the row that makes it.
    """

    recipe: Recipe
    pieces: tuple[str, ...]
    copies: Copies
    notes: Notes
    steps: dict[str, Step] = field(default_factory=dict)
    last: dict[str, str] = field(default_factory=dict)
    into: dict[str, str] = field(default_factory=dict)
    by_name: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    assemblies: list[Assembly] = field(default_factory=list)
    made_in: dict[str, int] = field(default_factory=dict)


def all_steps(recipe: Recipe, pieces: tuple[str, ...], copies: Copies, notes: Notes) -> Course:
    """Every step of every piece, as the file has them, and the assemblies they make."""
    course = Course(recipe, pieces, copies, notes)
    for row, written in enumerate(recipe.operation):
        if is_new(course, written, row):
            course.by_name[written.id] = {}
            for piece in ("",) if written.once else pieces:
                add_steps(course, written, row, piece)
    for step in course.steps.values():
        add_after(course, step)
    return course


def names_of(written: OperationText) -> list[str]:
    """What its steps are called in a piece: the id, or oil-1, oil-2 … for coats."""
    coats = written.coat.coats if written.coat else 1
    return [f"{written.id}-{coat}" for coat in range(1, coats + 1)] if coats > 1 else [written.id]


def is_new(course: Course, written: OperationText, row: int) -> bool:
    """Whether no operation, and no coat of one, has its names already."""
    named = {name for one in course.recipe.operation[:row] for name in (one.id, *names_of(one))}
    taken = [name for name in (written.id, *names_of(written)) if name in named]
    if taken:
        what = f"Operation {taken[0]} is there twice."
        course.notes.error("twice", ("operation", row), what, "Give each its own id.")
    return not taken


def add_steps(course: Course, written: OperationText, row: int, piece: str) -> None:
    """The steps of one operation on one piece: one for each coat, else one."""
    parts = parts_of(course, written, row, (piece,) if piece else course.pieces)
    made = assembled(course, written, row, piece, parts)
    for coat, name in enumerate(names_of(written), 1 if written.coat else 0):
        before = unique(course.last[part] for part in parts if part in course.last)
        makes = made if coat <= 1 else None
        step = Step(in_piece(piece, name), row, piece, coat, parts, makes, before)
        course.steps[step.id] = step
        course.by_name[written.id].setdefault(piece, []).append(step.id)
        course.last |= dict.fromkeys((*parts, *((made,) if made else ())), step.id)


def parts_of(course: Course, written: OperationText, row: int, pieces: Iterable[str]) -> tuple[str, ...]:
    """The ids an operation works on; one that went into an assembly before is an error."""
    path = ("operation", row, "parts")
    found: list[str] = []
    for name in written.parts:
        if not course.copies.known(name):
            what = f"Operation {written.id} works on “{name}”, which is no part or assembly up to here."
            course.notes.error("unknown-name", path, what, next_step_for(course, name, row))
        found += [id for piece in pieces for id in course.copies.ids(name, piece)]
    if joined := [id for id in found if id in course.into]:
        inside = course.into[joined[0]]
        made_by = next(one.by for one in course.assemblies if one.id == inside).rpartition("/")[2]
        name = joined[0].rpartition("/")[2]
        what = f"Operation {written.id} works on {name}, which went into {inside.rpartition('/')[2]} before."
        next_step = f"Move it up, before {made_by}, or work on {inside.rpartition('/')[2]}."
        if made_by == written.id:
            next_step = f"There is one {name} for all pieces: take out its once = true."
        course.notes.error("already-joined", path, what, next_step)
    return tuple(unique(found))


def next_step_for(course: Course, name: str, row: int) -> str:
    """What to do about a name that is not known yet: it may be made further down."""
    for later in course.recipe.operation[row:]:
        if later.makes == name:
            return f"Move it down, after {later.id}, which makes it."
    return use_one_of(name, course.copies.by_name)


def assembled(course: Course, written: OperationText, row: int, piece: str, parts: tuple[str, ...]) -> str | None:
    """The assembly this operation makes, if any; its parts are then inside it."""
    name, path = written.makes, ("operation", row, "makes")
    if name is None:
        return None
    if course.copies.known(name) and course.made_in.get(name) != row:
        what = f"Operation {written.id} makes {name}, which is there already."
        course.notes.error("twice", path, what, "Give the assembly its own name.")
        return None
    if not parts:
        what = f"Operation {written.id} makes {name} of nothing."
        course.notes.error("no-parts", path, what, "Name its parts.")
        return None
    made = in_piece(piece, name)
    title, by = name.replace("-", " ").capitalize(), in_piece(piece, names_of(written)[0])
    course.assemblies.append(Assembly(made, piece, name, title, parts, by, written.place))
    course.copies.by_name.setdefault(name, {})[piece] = (made,)
    course.made_in[name] = row
    course.into |= dict.fromkeys(parts, made)
    return made


def add_after(course: Course, step: Step) -> None:
    """What `after` names: the same piece's operation, or that of all pieces."""
    written = course.recipe.operation[step.row]
    for name in written.after:
        named = course.by_name.get(name)
        if named is None:
            what = f"Operation {written.id} comes after “{name}”, which is no operation here."
            course.notes.error("unknown-name", ("operation", step.row, "after"), what, use_one_of(name, course.by_name))
            continue
        own = named.get(step.piece) or named.get("")
        last_of_each = [ids[-1] for ids in named.values()]
        step.after = unique([*step.after, *([own[-1]] if own else last_of_each)])


def unique(ids: Iterable[str]) -> list[str]:
    """The same, each once, in order."""
    return list(dict.fromkeys(ids))
