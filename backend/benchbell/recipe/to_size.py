"""Which operation brings which part to which of its sizes.

An operation says it with `to_size`. Where it does not, it makes those sizes of its parts that its setup is set to or
that it shows, by the same formula, unless an earlier operation makes them. A size that no operation is known to make
stands at the part's first operation, so that every part shows its dimensions where work on it begins.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import product

from benchbell.recipe.cutting_list import cut_measures, depending_on_measured
from benchbell.recipe.holds import is_machine
from benchbell.recipe.pieces import PartIndex
from benchbell.recipe.sheet import MEASURES, Formula, Measure, Operation, Part, Setup, Size, SizeStage, ToSize
from benchbell.recipe.steps import Step
from benchbell.recipe.stock import CutListRow
from benchbell.recipe.written import Recipe

ROUGH_AT: Mapping[str, tuple[Measure, ...]] = {
    "mitre saw": ("length",),
    "band saw": ("width",),
    "table saw": ("length", "width"),
}
"""By station, what an operation that cuts over size usually cuts there."""

BY_HAND = ("hand tools", "bench")
"""Places, besides machines, where parts are brought to size."""

FINISHED: SizeStage = "finished"
ROUGH: SizeStage = "rough"
TOLD: SizeStage = "told"

Claims = dict[tuple[str, Measure], tuple[str, SizeStage]]
"""By part's id and measure, the name of the operation that makes or shows it, and how far it goes.

A part for the whole build has one name there, so that every piece's operation shows its sizes.
"""

Working = Sequence[tuple[Operation, Sequence[Part], Step]]
"""The operations in order, each with the parts that it works on and its step."""


def all_to_size(
    steps: Sequence[Step],
    operations: Mapping[str, Operation],
    recipe: Recipe,
    parts: Sequence[Part],
    index: PartIndex,
    setups: Mapping[str, Setup],
    sizes: Sequence[Size],
    rows: Sequence[CutListRow],
) -> dict[str, tuple[ToSize, ...]]:
    """By operation's id, the sizes it makes.

    steps: in order. setups: by id as written, each with its own formulas. rows: the cutting list.
    """
    by_id = {part.id: part for part in parts}
    measured, same = depending_on_measured(recipe, sizes), same_as(sizes)
    working = [(operations[step.id], [by_id[id] for id in step.parts if id in by_id], step) for step in steps]
    made: Claims = {}
    rough: Claims = {}
    for op, own, step in working:
        measures = recipe.operation[step.row].to_size or ()
        claimed = [(part.id, measure) for part in own for measure in cut_measures(part) if measure in measures]
        made.update(dict.fromkeys(claimed, (op.name, FINISHED)))
    for op, own, step in working:
        written = recipe.operation[step.row]
        if written.to_size is None and op.step == "work":
            formulas = formulas_of(op, setups.get(written.setup or ""), same)
            for part in own:
                for measure in matching(part, formulas, measured if written.rough else frozenset(), same):
                    made.setdefault((part.id, measure), (op.name, FINISHED))
        if written.rough:
            for part in own:
                for measure in rough_measures(part, op):
                    rough.setdefault((part.id, measure), (op.name, ROUGH))
    names = {part.id: recipe.part[index.row_and_copy[part.id][0]].id for part in parts}
    made, rough = without_doubles(made, rough, names, {row.part: row for row in rows})
    told = dict(first_shown(working, recipe, made))
    return {op.id: tuple(sizes_at(op, own, [rough, made, told], names)) for op, own, _ in working}


def without_doubles(
    made: Claims, rough: Claims, names: Mapping[str, str], rows: Mapping[str, CutListRow]
) -> tuple[Claims, Claims]:
    """What is made, and what is cut over size: a cut to the finished size makes it, unless a later operation does."""
    over, exact = {}, {}
    for (part, measure), (op, _) in rough.items():
        row, n = rows[names[part]], MEASURES.index(measure)
        if row.rough_mm[n] != row.finished_mm[n]:
            over[part, measure] = op, ROUGH
        else:
            exact[part, measure] = op, FINISHED
    made = exact | made
    return made, {key: claim for key, claim in over.items() if made.get(key, ("",))[0] != claim[0]}


def same_as(sizes: Sequence[Size]) -> dict[str, str]:
    """By name with @, the size that a size is another name of: a fragment's thickness may be the recipe's stuff."""
    same: dict[str, str] = {}
    for size in sizes:  # in an order in which each depends on earlier ones only
        match size.formula:
            case (str(other),) if not size.measure and other.startswith("@"):
                same[f"@{size.name}"] = same.get(other, other)
    return same


def plain(formula: Formula, same: Mapping[str, str]) -> Formula:
    """A formula with one name for each size."""
    return tuple(same.get(item, item) if isinstance(item, str) else item for item in formula)


def formulas_of(op: Operation, setup: Setup | None, same: Mapping[str, str]) -> set[Formula]:
    """The formulas that an operation works to at a machine or by hand: those of its setup, and the sizes it shows."""
    if not (is_machine(op.station) or op.station in BY_HAND):
        return set()
    values = {value.formula for value in setup.set} if setup else set()
    values |= {(f"@{name}",) for name in op.sizes if name not in op.measure}
    return {plain(formula, same) for formula in values}


def matching(
    part: Part, formulas: set[Formula], measured: frozenset[str], same: Mapping[str, str]
) -> Iterator[Measure]:
    """The measures of a part whose formula is one of these. measured: sizes that do not count, as they come later."""
    for measure, formula in zip(cut_measures(part), part.size, strict=False):
        depends = any(f"@{name}" in formula for name in measured)
        if plain(formula, same) in formulas and not depends:
            yield measure


def rough_measures(part: Part, op: Operation) -> Iterator[Measure]:
    """What an operation that cuts over size cuts of a part, by its station."""
    if part.material not in ("veneer", "other"):
        yield from (measure for measure in ROUGH_AT.get(op.station, ()) if measure in cut_measures(part))


def first_shown(
    working: Working, recipe: Recipe, made: Claims
) -> Iterator[tuple[tuple[str, Measure], tuple[str, SizeStage]]]:
    """For each size that nothing makes, the part's first operation at which its finished size fits best."""
    first: dict[str, tuple[int, str]] = {}
    for op, own, step in working:
        rank = RANKS[recipe.operation[step.row].rough, is_machine(op.station) or op.station == "hand tools"]
        for part in own:
            first[part.id] = min(first.get(part.id, (len(RANKS), "")), (rank, op.name), key=lambda one: one[0])
    for part in {part.id: part for _, own, _ in working for part in own}.values():
        for measure in cut_measures(part):
            if (part.id, measure) not in made:
                yield (part.id, measure), (first[part.id][1], TOLD)


RANKS = {(False, True): 0, (False, False): 1, (True, True): 2, (True, False): 3}
"""By whether an operation cuts over size, and whether it cuts at all, how well the finished size fits there: 0 best."""


def sizes_at(
    op: Operation, own: Sequence[Part], claims: Sequence[Claims], names: Mapping[str, str]
) -> Iterator[ToSize]:
    """The sizes that an operation makes or shows, by part as written and stage. names: of parts by id."""
    found: dict[tuple[str, SizeStage], set[Measure]] = {}
    for claim in claims:
        for part, measure in product(own, MEASURES):
            name, stage = claim.get((part.id, measure), ("", TOLD))
            if name == op.name:
                found.setdefault((names[part.id], stage), set()).add(measure)
    for (name, stage), measures in found.items():
        yield ToSize(name, stage, tuple(measure for measure in MEASURES if measure in measures))
