"""Rules about how parts lie: nothing runs through anything, joints close and hold, the piece stands."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import hypot

from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.put_in import fitting_contacts
from benchbell.recipe.rule_context import RuleContext, short_id
from benchbell.recipe.sheet import Operation, Part
from benchbell.recipe.solids.faults import FLOOR_MM, Standing, groups, standing, weakened
from benchbell.recipe.solids.rabbets import excesses

LEAST_TOLD_MM = 0.1
"""A distance below this shows as none: leaning parts can be apart while their bounds meet."""

OPPOSITE = ((("left",), ("right",)), (("front",), ("back",)), (("bottom", "lower"), ("top", "upper")))
"""By axis, the words of `places` for what lies lower and higher on it."""

HIGHER = ("right of", "behind", "above")
"""By axis, how what lies higher on it lies to the other."""


def nothing_runs_through(context: RuleContext) -> None:
    """Rule: parts that share room can be drawn apart, as a tenon from its mortise. Of equal pairs only the first."""
    pairs = ((context.laid[one.a], context.laid[one.b], one) for one in context.stuck)
    for a, b, one in {(a.part, b.part): (a, b, one) for a, b, one in reversed([*pairs])}.values():
        sizes = " × ".join(length_text(high - low, context) for low, high in zip(one.low, one.high, strict=True))
        what = f"{a.name} and {b.name} run through each other: they share {sizes}, and neither can be drawn out."
        context.warn_part("runs-through", b.part, what, f"Correct how {b.part} or {a.part} lies, or its size.")


def what_is_let_in_fits(context: RuleContext) -> None:
    """Rule: a back, panel or pane goes no further than the rabbets that it lies in. Of equal parts only the first."""
    said: set[str] = set()
    for one in excesses(context.laid, context.contacts):
        part, host = context.laid[one.part], context.laid[one.host]
        if part.part not in said:
            said.add(part.part)
            what = (
                f"{part.name} does not fit the rabbet of {host.name}: it goes {length_text(one.mm, context)} too far."
            )
            next_step = f"Make {part.part} smaller, the rabbet wider, or correct how they lie."
            context.warn_part("does-not-fit", part.part, what, next_step)


def joints_leave_enough(context: RuleContext) -> None:
    """Rule: away from its ends a part keeps enough of its section. Of equal parts only the first."""
    through = {frozenset((one.a, one.b)) for one in context.stuck}
    said: set[str] = set()
    for one in weakened(context.laid, fitting_contacts(context)):
        part, by = context.laid[one.part], context.laid[one.by]
        if part.part in said or {one.part, one.by} in through:
            continue
        said.add(part.part)
        what = f"{part.name} loses {100 * one.share:.0f} % of its section where {by.name} goes in."
        context.warn_part("weakened", part.part, what, "Make the joint smaller, the part thicker, or move one joint.")


def glue_ups_close(context: RuleContext) -> None:
    """Rule: all that one glue-up joins hangs together."""
    for op in context.glue_ups:
        loose = pieces_of(op, context)
        if len(loose) > 1:
            named = ", ".join("+".join(name for name, _ in members) for members in loose[:6])
            far = nearest_mm(loose, context)
            by = f", at the nearest by {length_text(far, context)}" if far >= LEAST_TOLD_MM else ""
            what = f"glues parts that do not touch: {named} lie apart{by}."
            next_step = f"Correct how they lie, or their sizes, or make it {len(loose)} glue-ups."
            context.warn("gap", op, what, next_step)


Member = tuple[str, list[int]]
"""A part or assembly that an operation joins: its name, and the numbers of its laid parts."""


def pieces_of(op: Operation, context: RuleContext) -> list[list[Member]]:
    """What an operation joins, as far as it is drawn, in groups that hang together; one when all touches."""
    drawn = [(short_id(id), numbers) for id in op.parts if (numbers := context.laid_in(id))]
    return [[drawn[n] for n in group] for group in groups([numbers for _, numbers in drawn], context.contacts)]


def nearest_mm(loose: Sequence[Sequence[Member]], context: RuleContext) -> float:
    """How far apart the two nearest of these groups are, in mm, taken from the bounds of their solids."""
    solids = [
        [solid for _, numbers in members for number in numbers for solid in context.laid[number].solids]
        for members in loose
    ]
    return min(
        hypot(*(max(b.low[n] - a.high[n], a.low[n] - b.high[n], 0.0) for n in range(3)))
        for ones, others in combinations(solids, 2)
        for a in ones
        for b in others
    )


def mates_meet(context: RuleContext) -> None:
    """Rule: a part touches what its mates name. Of equal pairs only the first."""
    met = {frozenset((one.a, one.b)) for one in context.contacts}
    said: set[frozenset[str]] = set()
    for part in first_parts(context):
        own = context.laid_numbers[part.name]
        for mate in part.mates:
            others = context.laid_in(mate.to)
            kinds = frozenset(context.laid[number].part for number in (own, *others))
            if not others or kinds in said or any(frozenset((own, number)) in met for number in others):
                continue
            said.add(kinds)
            end = f" at its {mate.end}" if mate.end else ""
            what = f"{part.name} is to meet {mate.to.rpartition('/')[2]}{end}, but does not touch it."
            next_step = f"Correct how one of them lies, its size, or the mates of {part.name}."
            context.warn_part("gap", context.laid[own].part, what, next_step)


def first_parts(context: RuleContext) -> Iterator[Part]:
    """The parts of the first piece that are drawn."""
    for part in context.sheet.parts:
        if part.piece == context.sheet.pieces[0] and part.name in context.laid_numbers:
            yield part


def piece_stands(context: RuleContext) -> None:
    """Rule: the piece stands on the floor, its weight over its feet, unless it hangs."""
    if not context.laid or context.recipe.hangs:
        return
    found = standing(context.laid)
    lowest = min(context.laid, key=lambda part: part.low[2])
    if abs(found.lowest) > FLOOR_MM:
        above = "above" if found.lowest > 0 else "below"
        what = f"The lowest point, of {lowest.name}, lies {length_text(abs(found.lowest), context)} {above} the floor."
        next_step = "Correct how it lies, or write hangs = true at the top of the recipe."
        context.warn_part("does-not-stand", lowest.part, what, next_step)
    elif found.tips:
        what = f"The piece falls over: its weight is {off_middle(found, context)} of the middle, beside its feet."
        context.warn_part("does-not-stand", lowest.part, what, "Move the feet out, or correct how parts lie.")


def off_middle(found: Standing, context: RuleContext) -> str:
    """How far the weight of a piece is off its middle: "13 mm to the back"."""
    sides = ((found.x, "left", "right"), (found.y, "front", "back"))
    off = [
        f"{length_text(abs(mm), context)} to the {more if mm > 0 else less}" for mm, less, more in sides if abs(mm) > 1
    ]
    return " and ".join(off) or "near"


def places_are_true(context: RuleContext) -> None:
    """Rule: of two copies, the one whose place says left lies left of the one whose place says right, and so on."""
    for row, written in enumerate(context.recipe.part):
        copies = [number for number, part in enumerate(context.laid) if part.part == written.id]
        for axis, (lower, higher) in enumerate(OPPOSITE):
            told = list(zip(copies, written.places, strict=False))
            lows = [n for n, text in told if says(text, lower) and not says(text, higher)]
            highs = [n for n, text in told if says(text, higher) and not says(text, lower)]
            wrong = next(
                ((a, b) for a in lows for b in highs if middle(a, axis, context) > middle(b, axis, context)), None
            )
            if wrong:
                a, b = wrong
                place = written.places[copies.index(a)]
                what = f"{context.laid[a].name} is “{place}”, but lies {HIGHER[axis]} {context.laid[b].name}."
                next_step = "Correct places, or the order of the copies."
                context.findings.warn("untrue-place", ("part", row, "lies"), what, next_step)
                break


def says(text: str, words: Sequence[str]) -> bool:
    """Whether a text has one of the words."""
    return any(word in text.lower().replace(",", " ").split() for word in words)


def middle(number: int, axis: int, context: RuleContext) -> float:
    """Where the middle of a laid part lies on an axis, in mm."""
    return (context.laid[number].low[axis] + context.laid[number].high[axis]) / 2


def length_text(mm: float, context: RuleContext) -> str:
    """A length in the recipe's units."""
    return show(mm, LENGTH, context.sheet.units)
