"""Rules for glue-ups: a dry fit before, closed within the open time, warm enough, long enough in clamps and at rest."""

from msgspec import Struct

from benchbell.durations import MINUTE_MS
from benchbell.recipe.holds import all_inside
from benchbell.recipe.measure import TIME
from benchbell.recipe.named_sizes import positive_value
from benchbell.recipe.panels import makes_panel
from benchbell.recipe.pieces import copy_names
from benchbell.recipe.rule_context import RuleContext, clock_of, time_text
from benchbell.recipe.sheet import Operation
from benchbell.recipe.times import planned_ms
from benchbell.trade.air import degrees
from benchbell.trade.glue import Glue, GlueRow, assembly_minutes, glue_named, glues, open_minutes

LEAST_ASSEMBLY_FOR_BENDING = 15
"""Minutes of assembly time that bent work needs at least. Common practice, no source."""


class Limit(Struct, frozen=True):
    """What a glue-up takes and the most it may, in minutes. what, lasts: words of the sentence that says so.

    by_air: whether the most depends on the shop's air.
    """

    takes: float
    most: float
    what: str
    lasts: str
    by_air: bool


def glue_ups(context: RuleContext) -> list[tuple[Operation, Glue]]:
    """Each glue-up with its glue, the label's figures included."""
    return [
        (op, glue_named(op.glue, context.shop.labels.get(op.glue)))
        for op in context.first_piece
        if op.step == "glue-up"
    ]


def dry_fit_before_glue(context: RuleContext) -> None:
    """Rule: before a glue-up of several parts, a dry fit puts all of them together.

    Boards edge to edge need none, nor does veneer.
    """
    dry_fits: list[dict[str, None]] = []
    for op in context.first_piece:
        if op.step == "dry-fit":
            dry_fits.append(all_inside(op.parts, context.contents))
        if op.step != "glue-up" or len(op.parts) < 2 or makes_panel(op, context) or op.id in context.veneering:
            continue
        if not any(all(fit.keys() & context.contents[part] for part in op.parts) for fit in dry_fits):
            context.warn(
                "no-dry-fit",
                op,
                f"glues {len(op.parts)} parts that no dry fit puts together first.",
                "Put an operation with dry_fit = true before it, with its clamps.",
            )


def spread_within_open_time(context: RuleContext) -> None:
    """Rule: all is spread within the open time and the pot life, and the clamps are tight within the assembly time."""
    for op, glue in glue_ups(context):
        if op.spread_minutes is None:
            continue
        limits = [limit for limit in limits_of(op, glue, context) if limit.takes > limit.most]
        for limit in sorted(limits, key=lambda one: one.most - one.takes)[:1]:
            air = f" at {degrees(context.shop.celsius)}" if limit.by_air else ""
            takes, most, over = (time_text(one) for one in (limit.takes, limit.most, limit.takes - limit.most))
            context.warn(
                "spread-too-long",
                op,
                f"takes {takes} to {limit.what}, {glue.id} {limit.lasts} {most}{air}: {over} too long.",
                slower_glue(op, glue, context),
            )


def limits_of(op: Operation, glue: Glue, context: RuleContext) -> list[Limit]:
    """What limits a glue-up: open time and pot life for spreading, assembly time for spreading and closing."""
    whole, opened, pot = op.spread_minutes or 0, clock_of(op, "open"), clock_of(op, "pot")
    spread = whole - closing_minutes(op, context)
    assembly = planned_ms(glue, "assembly_minutes", context.shop) / MINUTE_MS
    found = [Limit(whole, assembly, "spread and close", "must be in tight clamps within", by_air=True)]
    if opened is not None and opened.most_ms is not None:
        most, by_air = opened.most_ms / MINUTE_MS, opened.figure is not None
        found.append(Limit(spread, most, "spread", "stays open", by_air))
        if most > assembly:
            found[0] = Limit(whole, most, "spread and close", "stays open", by_air)
    if pot is not None and pot.most_ms is not None:
        found.append(Limit(spread, pot.most_ms / MINUTE_MS, "spread", "has a pot life of", pot.figure is not None))
    return found


def closing_minutes(op: Operation, context: RuleContext) -> float:
    """How much of a glue-up's time closing and clamping takes, in minutes: as written, else half of it."""
    whole, glue = op.spread_minutes or 0, context.written(op).glue
    if glue is None or not glue.close:
        return whole / 2
    path = context.path(op, "glue", "close")
    close = positive_value(glue.close, context.scope, path, f"Operation {op.name}: close", context.findings, TIME)
    return min(whole, close or 0)


def slower_glue(op: Operation, glue: Glue, context: RuleContext) -> str:
    """The next step when a glue-up takes too long; pva-slow only when its times are long enough."""
    slower = glue_named("pva-slow")
    celsius = max(context.shop.celsius, slower.least_celsius)
    whole = op.spread_minutes or 0
    fits = whole <= assembly_minutes(slower, celsius, context.shop.humidity)
    fits &= whole - closing_minutes(op, context) <= open_minutes(slower, celsius, context.shop.humidity)
    if glue.id == "pva-interior" and fits:
        return f"Split the glue-up, or use {slower.id}."
    return "Split the glue-up, or use a glue with a longer open time."


def joined_into_something(context: RuleContext) -> None:
    """Rule: a glue-up of several parts makes an assembly, except where each part only gets its lippings."""
    lipped = {name for part in context.recipe.part if part.edges for name in copy_names(part)}
    for op, _ in glue_ups(context):
        lips_them = {id.rpartition("/")[2] for id in op.parts} <= lipped
        if len(op.parts) > 1 and op.makes is None and not lips_them:
            what = f"glues {len(op.parts)} parts but makes no assembly of them."
            context.warn(
                "not-joined", op, what, 'Add makes = "…": the assembly gets a label, and later operations work on it.'
            )


def warm_enough(context: RuleContext) -> None:
    """Rule: the shop is no colder than the glue's least temperature."""
    for op, glue in glue_ups(context):
        if context.shop.celsius < glue.least_celsius:
            context.warn(
                "too-cold",
                op,
                f"is glued at {degrees(context.shop.celsius)}, {glue.id} needs at least {degrees(glue.least_celsius)}.",
                "Warm the shop, the wood and the glue first, or use another glue.",
            )


def steady_under_stress(context: RuleContext) -> None:
    """Rule: bent work and loaded joints have a glue that does not creep."""
    for op, glue in glue_ups(context):
        if op.stressed and glue.creeps:
            context.warn(
                "creeping-glue",
                op,
                f"is under stress, and {glue.id} creeps: bent work opens with the months.",
                f"Use a glue that does not: {', '.join(row.id for row in glues().values() if holds_bent_work(row))}.",
                "glue",
            )


def holds_bent_work(glue: GlueRow) -> bool:
    """Whether a glue sets hard, by a reaction, and not before bent work can be closed."""
    hard = glue.sets_by == "chemical" and not glue.creeps
    return hard and glue.assembly_minutes[0] >= LEAST_ASSEMBLY_FOR_BENDING


def rest_before_machining(context: RuleContext) -> None:
    """Rule: a rest in the recipe is no shorter than the glue's own, when a machine works on the joint later."""
    for op, glue in glue_ups(context):
        rest, usual = clock_of(op, "rest"), planned_ms(glue, "machine_minutes", context.shop)
        waiting = [
            one for one in context.first_piece if any((h.operation, h.clock) == (op.id, "rest") for h in one.holds)
        ]
        if rest is None or rest.figure or (rest.least_ms or 0) >= usual or not waiting:
            continue
        context.warn(
            "machined-too-soon",
            op,
            f"may be worked in {waiting[0].name} after {time_text((rest.least_ms or 0) / MINUTE_MS)}, "
            f"{glue.id} usually needs {time_text(usual / MINUTE_MS)}.",
            "Lengthen rest, or leave it out to use the glue's figure.",
            "glue",
        )


def clamp_long_enough(context: RuleContext) -> None:
    """Rule: a clamp time in the recipe is no shorter than the glue's own."""
    for op, glue in glue_ups(context):
        clamp = clock_of(op, "in-clamps")
        usual = planned_ms(glue, "stressed_clamp_minutes" if op.stressed else "clamp_minutes", context.shop)
        if clamp is not None and clamp.figure is None and (clamp.least_ms or 0) < usual:
            context.warn(
                "clamped-too-short",
                op,
                f"is {time_text((clamp.least_ms or 0) / MINUTE_MS)} in clamps, "
                f"{glue.id} usually needs {time_text(usual / MINUTE_MS)}{' under stress' if op.stressed else ''}.",
                "Lengthen clamp, or leave it out to use the glue's figure.",
                "glue",
            )
