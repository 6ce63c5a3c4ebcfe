"""The trade's rules for glue-ups: rehearsed, closed in time, warm, and left alone for long enough."""

from benchbell.durations import MINUTE_MS
from benchbell.recipe.holds import within
from benchbell.recipe.pieces import names_of
from benchbell.recipe.rule_context import Case, clock_of, told
from benchbell.recipe.sheet import Operation
from benchbell.recipe.times import planned_ms
from benchbell.trade.glue import Glue, glue_named, glues, open_minutes


def glue_ups(case: Case) -> list[tuple[Operation, Glue]]:
    """Each glue-up with its glue, label figures and all."""
    return [(op, glue_named(op.glue, case.shop.labels.get(op.glue))) for op in case.first if op.step == "glue-up"]


def dry_fit_before_glue(case: Case) -> None:
    """A glue-up of several parts is rehearsed without glue first, all of them together."""
    rehearsals: list[dict[str, None]] = []
    for op in case.first:
        if op.step == "dry-fit":
            rehearsals.append(within(op.parts, case.inside))
        if op.step != "glue-up" or len(op.parts) < 2:
            continue
        if not any(all(fit.keys() & case.inside[part] for part in op.parts) for fit in rehearsals):
            case.warn(
                "no-dry-fit",
                op,
                f"glues {len(op.parts)} parts that no dry fit has tried together.",
                "Put an operation with dry_fit = true before it, clamps and all.",
            )


def spread_within_open_time(case: Case) -> None:
    """Spreading and closing take no longer than the glue stays open, nor than it lasts in the pot."""
    for op, glue in glue_ups(case):
        limits = [(clock, (clock.most_ms or 0) / MINUTE_MS) for clock in op.clocks if clock.kind in ("open", "pot")]
        clock, limit = min(limits, key=lambda one: one[1])
        if op.spread_minutes is None or op.spread_minutes <= limit:
            continue
        lasts = "stays open" if clock.kind == "open" else "lasts in the pot"
        air = f" at {case.shop.celsius:g} °C" if clock.figure else ""
        case.warn(
            "spread-too-long",
            op,
            f"takes {told(op.spread_minutes)} to spread and close, {glue.id} {lasts} {told(limit)}{air}: "
            f"{told(op.spread_minutes - limit)} too long.",
            slower_glue(op, glue, case),
        )


def slower_glue(op: Operation, glue: Glue, case: Case) -> str:
    """What to do when a glue-up takes too long."""
    slower = glues()["pva-slow"].id
    celsius = max(case.shop.celsius, glue_named(slower).least_celsius)
    fits = (op.spread_minutes or 0) <= open_minutes(glue_named(slower), celsius, case.shop.humidity)
    if glue.id == "pva-interior" and fits:
        return f"Split the glue-up, or use {slower}."
    return "Split the glue-up, or use a glue that stays open for longer."


def joined_into_something(case: Case) -> None:
    """What is glued together is one thing from then on; parts that each get their lippings stay apart."""
    lipped = {name for part in case.recipe.part if part.edges for name in names_of(part)}
    for op, _ in glue_ups(case):
        lips_them = {id.rpartition("/")[2] for id in op.parts} <= lipped
        if len(op.parts) > 1 and op.makes is None and not lips_them:
            what = f"glues {len(op.parts)} parts and makes nothing of them."
            case.warn("not-joined", op, what, 'Add makes = "…": the label and the work that follow go with that.')


def warm_enough(case: Case) -> None:
    """The shop is no colder than the glue can stand."""
    for op, glue in glue_ups(case):
        if case.shop.celsius < glue.least_celsius:
            case.warn(
                "too-cold",
                op,
                f"is glued at {case.shop.celsius:g} °C, {glue.id} wants {glue.least_celsius:g} °C at least.",
                "Warm the shop, the wood and the glue first, or take another.",
            )


def rest_before_machining(case: Case) -> None:
    """A rest the recipe writes is no shorter than the glue's own before a machine touches the joint."""
    for op, glue in glue_ups(case):
        rest, usual = clock_of(op, "rest"), planned_ms(glue, "machine_minutes", case.shop)
        holders = [one for one in case.first if any((h.operation, h.clock) == (op.id, "rest") for h in one.holds)]
        if rest is None or rest.figure or (rest.least_ms or 0) >= usual or not holders:
            continue
        case.warn(
            "machined-too-soon",
            op,
            f"may be machined in {holders[0].name} after {told((rest.least_ms or 0) / MINUTE_MS)}, "
            f"usual for {glue.id} is {told(usual / MINUTE_MS)}.",
            "Lengthen rest, or leave it out to use the glue's figure.",
            "glue",
        )


def clamp_long_enough(case: Case) -> None:
    """A clamp time the recipe writes is no shorter than the glue's own."""
    for op, glue in glue_ups(case):
        clamp = clock_of(op, "in-clamps")
        usual = planned_ms(glue, "stressed_clamp_minutes" if op.stressed else "clamp_minutes", case.shop)
        if clamp is not None and clamp.figure is None and (clamp.least_ms or 0) < usual:
            case.warn(
                "clamped-too-short",
                op,
                f"is {told((clamp.least_ms or 0) / MINUTE_MS)} in clamps, "
                f"usual for {glue.id} is {told(usual / MINUTE_MS)}{' under stress' if op.stressed else ''}.",
                "Lengthen clamp, or leave it out to use the glue's figure.",
                "glue",
            )
