"""Rules for what a machine is fed: parts large enough for it, of wood, and long while they are said to be."""

from collections.abc import Iterator, Sequence

from benchbell.recipe.finding_list import Slip
from benchbell.recipe.holds import is_machine
from benchbell.recipe.measure import told_apart
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.sheet import Operation, Part, ToSize
from benchbell.recipe.small_parts import is_held, small_measures, worked_in_lengths
from benchbell.trade.not_wood import is_woody, material_of
from benchbell.trade.species import is_wood
from benchbell.trade.stations import TooSmall, station_named

ASK = "See the manual and the blade's label; then accept it, saying what cuts it, or do it by hand."
"""The next step where nobody knows whether a machine for wood cuts something."""


def parts_large_enough(context: RuleContext) -> None:
    """Rule: no part is smaller than is usually worked at its station, unless a sled, carrier or jig holds it there.

    Of equal copies only the first is checked. The measure that is furthest below its limit is the dangerous one, and
    comes first. What is no wood has a rule of its own.
    """
    for op in context.first_piece:
        written, station = context.written(op), station_named(op.station)
        in_lengths = worked_in_lengths(written, context.path(op), context.scope, context.findings)
        if is_held(at_hand(op, context), op.station):
            continue
        for part in one_of_each(op, context):
            small = small_measures(part, station, in_lengths)
            if small and not is_foreign(part, op.station):
                what = f"works {part.name}: {small_text(small, op.station, context)}."
                context.warn("part-too-small", op, what, larger(small), part=part.name)


def one_of_each(op: Operation, context: RuleContext) -> Iterator[Part]:
    """The parts of an operation, of equal copies the first."""
    parts = {part.id: part for part in context.sheet.parts}
    first = {parts[id].title.rstrip(" 0123456789"): parts[id] for id in reversed(op.parts) if id in parts}
    return reversed(first.values())


def at_hand(op: Operation, context: RuleContext) -> Iterator[str]:
    """What an operation and its setup need, and the names of the fixtures that it holds."""
    yield from op.needs
    for fixture in context.sheet.fixtures:
        if fixture.id in op.fixtures:
            yield from (fixture.title, fixture.owned, fixture.name.replace("-", " "))


def small_text(small: Sequence[TooSmall], station: str, context: RuleContext) -> str:
    """Each measure that is too small, the one furthest below its limit first, as part of a sentence."""
    worst, *others = sorted(small, key=lambda one: one.is_mm / one.least_mm)
    is_mm, least = told_apart(worst.is_mm, worst.least_mm, context.sheet.units)
    also = f"; its {' and its '.join(one.measure for one in others)} too" if others else ""
    return f"its {worst.measure} is {is_mm}, the usual least at the {station} is {least}{also}"


def larger(small: Sequence[TooSmall]) -> str:
    """The next step for a part that is too small; one that is only too short may be cut to length later."""
    short = [one.measure for one in small] == ["length"]
    instead = 'Work it in a longer piece and write in_lengths = "…"' if short else "Work it as part of a larger piece"
    return f"{instead}, or name the sled or carrier that holds it in needs. Follow the manual first."


def worked_long_before_cut(context: RuleContext) -> None:
    """Rule: what is said to be worked in long lengths has not been cut to length before. Told once for what is cut."""
    by_id = {op.id: op for op in context.sheet.operations}
    for op in context.first_piece:
        if not context.written(op).in_lengths:
            continue
        ids = {context.ids_of_copies[part.name] for part in one_of_each(op, context)}
        before = (by_id[id] for id in sorted(context.all_before(op), reverse=True))
        cut = {made.part: earlier.name for earlier in before for made in earlier.to_size if is_length(made)}
        for part in (one.id for one in context.recipe.part if one.id in ids & cut.keys()):
            what = f"works {part} in lengths, which {cut[part]} has cut to length before."
            next_step = f"Move {cut[part]} down, after {op.name}, or take out in_lengths."
            slip = Slip(cut[part], (op.name, part))
            context.warn("cut-before", op, what, next_step, "in_lengths", part=part, slip=slip)


def is_length(made: ToSize) -> bool:
    """Whether an operation cuts a part to its finished length."""
    return made.stage == "finished" and "length" in made.measures


def wood_at_machines(context: RuleContext) -> None:
    """Rule: a machine for wood is given wood. Glass, metal and stone it does not cut; of other things it is asked."""
    for op in context.first_piece:
        for part in one_of_each(op, context) if is_machine(op.station) else ():
            if is_foreign(part, op.station) and (material := material_of(part.stock)):
                what = f"works {part.name}, of {part.stock}, at the {op.station}, which does not cut {material.id}."
                context.warn("not-wood", op, what, material.instead, part=part.name)
            elif is_doubtful(part):
                what = f"works {part.name}, of {part.stock}, at the {op.station}, made for wood: it may not cut that."
                context.warn("not-wood", op, what, ASK, part=part.name)


def is_foreign(part: Part, station: str) -> bool:
    """Whether a part is of a material that this machine does not cut."""
    material = material_of(part.stock) if part.material == "other" and not is_wood(part.stock) else None
    return is_machine(station) and material is not None and station not in material.fine_at


def is_doubtful(part: Part) -> bool:
    """Whether nobody knows if a machine for wood cuts what a part is made of."""
    return part.material == "other" and not (is_wood(part.stock) or is_woody(part.stock) or material_of(part.stock))
