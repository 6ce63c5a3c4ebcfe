"""All steps of a build, made from operations as written: what each works on, makes and comes after.

Operations on the same part follow each other in the file's order; `after` adds to that. An assembly takes the place of
its parts.
"""

from collections.abc import Iterable
from difflib import get_close_matches

from msgspec import Struct, field

from benchbell.findings import did_you_mean, use_one_of
from benchbell.recipe.coats import Coat, stages_of, step_names
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.pieces import PartIndex, in_piece
from benchbell.recipe.sheet import Assembly
from benchbell.recipe.written import OperationText, Recipe

SURE_SLIP = 0.85
"""How alike an unknown name and a known one must be, 0 to 1, to be taken for a slip of the fingers."""

MOST_GUESSES = 4
"""The most names that an unknown one may be told to mean."""


class Step(Struct):
    """One operation on one piece, or on the whole build (piece ""). after: ids of the steps it comes after.

    row: the operation's row in the recipe. nth: its place among the steps of its operation on the piece, from 0.
    coat: the coat that it puts on, or that it sands for; None for other work. under: ids of the coats under that one.
    """

    id: str
    row: int
    piece: str
    nth: int
    parts: tuple[str, ...]
    makes: str | None
    after: list[str]
    coat: Coat | None = None
    sands: bool = False
    under: tuple[str, ...] = ()

    @property
    def is_coat(self) -> bool:
        """Whether it puts on a coat."""
        return self.coat is not None and not self.sands


class StepBuilder(Struct):
    """Collects steps and assemblies in the file's order.

    last_step: by part or assembly, the last step on it. joined_into: by part or assembly, the assembly it went into.
    ids_by_name: by operation as written and piece, the ids of its steps. row_by_assembly: the row that makes it.
    stood_in: by part or assembly that is a fixture, the steps that held it since the last step on it.
    names: of all operations and their steps so far.
    """

    recipe: Recipe
    pieces: tuple[str, ...]
    index: PartIndex
    findings: FindingList
    steps: dict[str, Step] = field(default_factory=dict)
    last_step: dict[str, str] = field(default_factory=dict)
    joined_into: dict[str, str] = field(default_factory=dict)
    ids_by_name: dict[str, dict[str, list[str]]] = field(default_factory=dict)
    assemblies: list[Assembly] = field(default_factory=list)
    row_by_assembly: dict[str, int] = field(default_factory=dict)
    stood_in: dict[str, list[str]] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)


def all_steps(recipe: Recipe, pieces: tuple[str, ...], index: PartIndex, findings: FindingList) -> StepBuilder:
    """Every step of every piece in the file's order, and the assemblies they make."""
    builder = StepBuilder(recipe, pieces, index, findings)
    for row, written in enumerate(recipe.operation):
        if is_new(builder, written, row):
            builder.ids_by_name[written.id] = {}
            for piece in ("",) if written.once else pieces:
                add_steps(builder, written, row, piece)
    for step in builder.steps.values():
        add_after(builder, step)
    return builder


def is_new(builder: StepBuilder, written: OperationText, row: int) -> bool:
    """Whether its name and its steps' names are free; if not, add a finding."""
    names = (written.id, *step_names(written))
    taken = [name for name in names if name in builder.names]
    builder.names.update(names)
    if taken:
        what = f"There are two operations {taken[0]}."
        builder.findings.error("twice", ("operation", row), what, "Give each its own id.")
    return not taken


def add_steps(builder: StepBuilder, written: OperationText, row: int, piece: str) -> None:
    """Add the steps of one operation on one piece: one, or one for each coat and each sanding between coats."""
    parts = parts_of(builder, written, row, (piece,) if piece else builder.pieces)
    fixtures = fixtures_made(builder, written, (piece,) if piece else builder.pieces)
    made = assembled(builder, written, row, piece, parts)
    coat_ids: dict[int, str] = {}
    for nth, stage in enumerate(stages_of(written)):
        before = steps_before(builder, parts, fixtures)
        makes, coat = made if nth == 0 else None, stage.coat
        under = tuple(coat_ids[number] for number in coat.under) if coat else ()
        id = in_piece(piece, stage.name)
        step = Step(id, row, piece, nth, parts, makes, before, coat, stage.sands, under)
        if coat and not stage.sands:
            coat_ids[coat.number] = id
        builder.steps[step.id] = step
        builder.ids_by_name[written.id].setdefault(piece, []).append(step.id)
        builder.last_step |= dict.fromkeys((*parts, *((made,) if made else ())), step.id)
        for fixture in fixtures:
            builder.stood_in.setdefault(fixture, []).append(step.id)


def fixtures_made(builder: StepBuilder, written: OperationText, pieces: Iterable[str]) -> tuple[str, ...]:
    """The ids of the parts and assemblies that are an operation's fixtures, as far as they are made up to here."""
    made = {fixture.id: fixture.made for fixture in builder.recipe.fixture}
    names = [name for fixture in written.fixtures for name in made.get(fixture, ())]
    return tuple(unique(id for name in names for piece in pieces for id in builder.index.ids(name, piece)))


def steps_before(builder: StepBuilder, parts: Iterable[str], fixtures: Iterable[str]) -> list[str]:
    """The last step on each part and each fixture, and for a part that is a fixture, whatever stood in it since."""
    stood_in = [id for part in parts for id in builder.stood_in.pop(part, ())]
    return unique([*(builder.last_step[id] for id in (*parts, *fixtures) if id in builder.last_step), *stood_in])


def parts_of(builder: StepBuilder, written: OperationText, row: int, pieces: Iterable[str]) -> tuple[str, ...]:
    """The ids an operation works on. An unknown name, or a part that is joined already, gives a finding."""
    path = ("operation", row, "parts")
    found: list[str] = []
    for name in written.parts:
        if not builder.index.known(name):
            what = f"Operation {written.id} works on “{name}”, which is not a part or assembly up to here."
            builder.findings.error("unknown-name", path, what, next_step_for(builder, name, row))
        found += [id for piece in pieces for id in builder.index.ids(name, piece)]
    if joined := [id for id in found if id in builder.joined_into]:
        inside = builder.joined_into[joined[0]]
        made_by = next(one.by for one in builder.assemblies if one.id == inside).rpartition("/")[2]
        name = joined[0].rpartition("/")[2]
        what = f"Operation {written.id} works on {name}, which went into {inside.rpartition('/')[2]} before."
        next_step = f"Move it up, before {made_by}, or work on {inside.rpartition('/')[2]}."
        if made_by == written.id:
            next_step = f"There is one {name} for all pieces: take out its once = true."
        builder.findings.error("already-joined", path, what, next_step)
    return tuple(unique(found))


def next_step_for(builder: StepBuilder, name: str, row: int) -> str:
    """The next step for an unknown name, which a later operation may make."""
    for later in builder.recipe.operation[row:]:
        if later.makes == name:
            return f"Move it down, after {later.id}, which makes it."
    known = builder.index.by_name
    made = [] if get_close_matches(name, known, n=1, cutoff=SURE_SLIP) else assemblies_like(builder, name)
    near = [one for one in get_close_matches(name, known) if one not in made]
    return did_you_mean([*made, *near][:MOST_GUESSES]) if made else use_one_of(name, known)


def assemblies_like(builder: StepBuilder, name: str) -> list[str]:
    """The assemblies that begin as a name does, up to its first dash, and are whole here: door-leaf for door-door.

    What a fragment makes has the name of its use in front, and its own name is easily guessed wrong.
    """
    whole = (one for one in builder.assemblies if one.id not in builder.joined_into)
    names = dict.fromkeys(one.id.rpartition("/")[2] for one in whole)
    return [one for one in names if one.startswith(f"{name.partition('-')[0]}-")]


def assembled(builder: StepBuilder, written: OperationText, row: int, piece: str, parts: tuple[str, ...]) -> str | None:
    """The id of the assembly this operation makes, or None; its parts then belong to the assembly."""
    name, path = written.makes, ("operation", row, "makes")
    if name is None:
        return None
    if builder.index.known(name) and builder.row_by_assembly.get(name) != row:
        what = f"Operation {written.id} makes {name}, which exists already."
        builder.findings.error("twice", path, what, "Give the assembly its own name.")
        return None
    if not parts:
        what = f"Operation {written.id} makes {name}, but names no parts."
        builder.findings.error("no-parts", path, what, "Name its parts.")
        return None
    made = in_piece(piece, name)
    title, by = name.replace("-", " ").capitalize(), in_piece(piece, step_names(written)[0])
    builder.assemblies.append(Assembly(made, piece, name, title, parts, by, written.place))
    builder.index.by_name.setdefault(name, {})[piece] = (made,)
    builder.row_by_assembly[name] = row
    builder.joined_into |= dict.fromkeys(parts, made)
    return made


def add_after(builder: StepBuilder, step: Step) -> None:
    """Add the steps that `after` names: those of the same piece, of the whole build, or of every piece."""
    written = builder.recipe.operation[step.row]
    for name in written.after:
        named = builder.ids_by_name.get(name)
        if named is None:
            what = f"Operation {written.id} comes after “{name}”, which is not an operation of the recipe."
            builder.findings.error(
                "unknown-name", ("operation", step.row, "after"), what, use_one_of(name, builder.ids_by_name)
            )
            continue
        own = named.get(step.piece) or named.get("")
        last_of_each = [ids[-1] for ids in named.values()]
        step.after = unique([*step.after, *([own[-1]] if own else last_of_each)])


def unique(ids: Iterable[str]) -> list[str]:
    """The ids without repetitions, in order."""
    return list(dict.fromkeys(ids))
