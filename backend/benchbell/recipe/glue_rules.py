"""Rules for glue-ups: a dry fit before, closed within the open time, warm enough, long enough in clamps and at rest."""

from benchbell.durations import MINUTE_MS
from benchbell.recipe.holds import all_inside
from benchbell.recipe.pieces import copy_names
from benchbell.recipe.rule_context import RuleContext, clock_of, time_text
from benchbell.recipe.sheet import Operation
from benchbell.recipe.times import planned_ms
from benchbell.trade.air import degrees
from benchbell.trade.glue import Glue, glue_named, glues, open_minutes


def glue_ups(context: RuleContext) -> list[tuple[Operation, Glue]]:
    """Each glue-up with its glue, the label's figures included."""
    return [
        (op, glue_named(op.glue, context.shop.labels.get(op.glue)))
        for op in context.first_piece
        if op.step == "glue-up"
    ]


def dry_fit_before_glue(context: RuleContext) -> None:
    """Rule: before a glue-up of several parts, a dry fit puts all of them together."""
    dry_fits: list[dict[str, None]] = []
    for op in context.first_piece:
        if op.step == "dry-fit":
            dry_fits.append(all_inside(op.parts, context.contents))
        if op.step != "glue-up" or len(op.parts) < 2:
            continue
        if not any(all(fit.keys() & context.contents[part] for part in op.parts) for fit in dry_fits):
            context.warn(
                "no-dry-fit",
                op,
                f"glues {len(op.parts)} parts that no dry fit puts together first.",
                "Put an operation with dry_fit = true before it, with its clamps.",
            )


def spread_within_open_time(context: RuleContext) -> None:
    """Rule: spreading and closing take no longer than the open time and the pot life."""
    for op, glue in glue_ups(context):
        limits = [(clock, (clock.most_ms or 0) / MINUTE_MS) for clock in op.clocks if clock.kind in ("open", "pot")]
        clock, limit = min(limits, key=lambda one: one[1])
        if op.spread_minutes is None or op.spread_minutes <= limit:
            continue
        lasts = "stays open" if clock.kind == "open" else "has a pot life of"
        air = f" at {degrees(context.shop.celsius)}" if clock.figure else ""
        context.warn(
            "spread-too-long",
            op,
            f"takes {time_text(op.spread_minutes)} to spread and close, {glue.id} {lasts} {time_text(limit)}{air}: "
            f"{time_text(op.spread_minutes - limit)} too long.",
            slower_glue(op, glue, context),
        )


def slower_glue(op: Operation, glue: Glue, context: RuleContext) -> str:
    """The next step when a glue-up takes too long; pva-slow only when its open time is long enough."""
    slower = glues()["pva-slow"].id
    celsius = max(context.shop.celsius, glue_named(slower).least_celsius)
    fits = (op.spread_minutes or 0) <= open_minutes(glue_named(slower), celsius, context.shop.humidity)
    if glue.id == "pva-interior" and fits:
        return f"Split the glue-up, or use {slower}."
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
            f"may be machined in {waiting[0].name} after {time_text((rest.least_ms or 0) / MINUTE_MS)}, "
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
