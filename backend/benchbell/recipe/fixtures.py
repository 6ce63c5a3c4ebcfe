"""Fixtures of the sheet: the forms, presses, jigs and sleds of a build, and which operation holds which until when.

A fixture made in this recipe is one or several of its parts or assemblies: it has their labels, and there are as many
as there are of them. Where each piece makes its own, each piece uses its own. A fixture of the shop is known by its
name there, and all builds share it. A vacuum or screw press is one of the shop's without a word.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from benchbell.findings import use_one_of
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.pieces import PartIndex, in_piece
from benchbell.recipe.sheet import Fixture
from benchbell.recipe.steps import Step, StepBuilder
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import FixtureText, OperationText, Recipe
from benchbell.trade.pressings import PRESSES


class FixtureIndex(Struct, frozen=True):
    """The fixtures by name and piece, and by operation as written and piece the ids of its steps, in the file's order.

    known: every name that the recipe gives a fixture, those with findings included.
    """

    by_name: dict[str, dict[str, Fixture]]
    steps_by_name: Mapping[str, Mapping[str, Sequence[str]]]
    known: frozenset[str]

    def all(self) -> tuple[Fixture, ...]:
        """Every fixture of the build."""
        return tuple(fixture for pieces in self.by_name.values() for fixture in pieces.values())

    def of(self, name: str, piece: str) -> tuple[Fixture, ...]:
        """The fixtures that a name stands for in a piece: its own or the whole build's; for the build, all of them."""
        pieces = self.by_name.get(name, {})
        own = pieces.get(piece) or pieces.get("")
        return (own,) if own else tuple(pieces.values()) if not piece else ()


def all_fixtures(recipe: Recipe, index: PartIndex, builder: StepBuilder, findings: FindingList) -> FixtureIndex:
    """Every fixture of every piece. One without an origin, or with a wrong one, gives a finding."""
    found: dict[str, dict[str, Fixture]] = {}
    known: set[str] = set()
    for row, written in enumerate(recipe.fixture):
        path = ("fixture", row)
        if written.id in known:
            findings.error("twice", path, f"There are two fixtures {written.id}.", "Give each its own id.")
        elif has_origin(written, index, path, findings):
            pieces = sorted(index.by_name[written.made[0]]) if written.made else [""]
            found[written.id] = {piece: fixture_of(written, piece, index) for piece in pieces}
        known.add(written.id)
    found |= {name: {"": shop_press(name)} for written in recipe.operation if (name := usual_press(written))}
    return FixtureIndex(found, builder.ids_by_name, frozenset(known))


def usual_press(written: OperationText) -> str:
    """The shop's press that an operation holds without a word, by its name there; "" when it names its fixtures."""
    return "" if written.fixtures or written.press is None else PRESSES.get(written.press, "")


def shop_press(name: str) -> Fixture:
    """The shop's press of that name. The space in its id keeps it apart from all that a recipe names."""
    return Fixture(id=name, piece="", name=name, title=name.capitalize(), of=(), owned=name, about="")


def has_origin(written: FixtureText, index: PartIndex, path: Path, findings: FindingList) -> bool:
    """Whether a fixture is either made of known things or owned by the shop; if not, add a finding."""
    next_step = 'Write made = ["…"], with the parts that it is, or owned = "…", with its name in the shop.'
    if written.made and written.owned:
        findings.error("clash", path, f"Fixture {written.id} is both made here and owned by the shop.", next_step)
        return False
    if not written.made and not written.owned:
        what = f"Fixture {written.id} is neither made here nor owned by the shop."
        findings.error("unmade-fixture", path, what, next_step)
        return False
    unknown = [name for name in written.made if not index.known(name)]
    for name in unknown:
        what = f"Fixture {written.id} is made as “{name}”, which is not a part or assembly of the recipe."
        findings.error("unknown-name", (*path, "made"), what, use_one_of(name, index.by_name))
    if unknown:
        return False
    if len({"" in index.by_name[name] for name in written.made}) > 1:
        what = f"Fixture {written.id} is partly made once for all pieces, partly for each piece."
        findings.error("clash", (*path, "made"), what, "Make it two fixtures.")
        return False
    return True


def fixture_of(written: FixtureText, piece: str, index: PartIndex) -> Fixture:
    """A fixture of a piece, or with piece "" of the whole build."""
    return Fixture(
        id=in_piece(piece, written.id),
        piece=piece,
        name=written.id,
        title=written.title or written.id.replace("-", " ").capitalize(),
        of=tuple(dict.fromkeys(id for name in written.made for id in index.ids(name, piece))),
        owned=written.owned,
        about=written.about,
    )


def held_fixtures(step: Step, written: OperationText, index: FixtureIndex, findings: FindingList) -> dict[str, int]:
    """How many of each fixture an operation holds, by id. An unknown name gives a finding."""
    for name in written.fixtures:
        if name not in index.known:
            what = f"Operation {written.id} holds “{name}”, which is not a fixture of the recipe."
            findings.error("unknown-name", ("operation", step.row, "fixtures"), what, use_one_of(name, index.known))
    held = written.fixtures or {press: 1 for press in (usual_press(written),) if press}
    return {one.id: count for name, count in held.items() for one in index.of(name, step.piece)}


def freeing_step(step: Step, written: OperationText, index: FixtureIndex, findings: FindingList) -> str:
    """The id of the operation that frees the fixtures; "" when the recipe names none, or with a finding."""
    name, path = written.held_until, ("operation", step.row, "held_until")
    if name is None:
        return ""
    about = f"Operation {written.id} holds its fixtures until {name}"
    named = index.steps_by_name.get(name)
    if not written.fixtures and not usual_press(written):
        what = f"Operation {written.id} has held_until, but holds no fixtures."
        findings.error("clash", path, what, "Write fixtures = { … }, or take out held_until.")
    elif named is None:
        what = f"{about}, which is not an operation of the recipe."
        findings.error("unknown-name", path, what, use_one_of(name, index.steps_by_name))
    elif ids := named.get(step.piece) or named.get(""):
        return ids[-1]
    else:
        what = f"{about}, which is done for each piece, but is itself done once for all pieces."
        findings.error("clash", path, what, "Give once = true to both, or to neither.")
    return ""
