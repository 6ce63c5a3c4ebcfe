"""Rules for coats of finish: the air they dry in, how many may follow each other, and how long they wait."""

from benchbell.durations import MINUTE_MS
from benchbell.recipe.rule_context import RuleContext, clock_of, time_text
from benchbell.recipe.sheet import Operation
from benchbell.recipe.text_types import MinutesText
from benchbell.trade.air import degrees
from benchbell.trade.finish import Finish, finish_named


def first_coats(context: RuleContext) -> list[tuple[Operation, Finish]]:
    """The first coat of each finish of each coating operation, with its finish."""
    coats = [op for op in context.first_piece if op.step == "coat"]
    found = {(context.rows[op.name], op.finish): op for op in reversed(coats)}
    return [(op, finish_named(op.finish)) for op in reversed(found.values())]


def coats_by_table(context: RuleContext) -> list[list[Operation]]:
    """The coats of the first piece, those of one table of `coat` together."""
    found: dict[tuple[int, int], list[Operation]] = {}
    for op in context.first_piece:
        if op.step == "coat":
            found.setdefault((context.rows[op.name], context.coat_of(op).table), []).append(op)
    return list(found.values())


def air_for_finish(context: RuleContext) -> None:
    """Rule: the shop is neither colder than the finish's least temperature nor damper than its greatest humidity."""
    for op, finish in first_coats(context):
        if context.shop.celsius < finish.least_celsius:
            context.warn(
                "too-cold",
                op,
                f"goes on at {degrees(context.shop.celsius)}, "
                f"{finish.id} needs at least {degrees(finish.least_celsius)}.",
                "Warm the room, the piece and the finish first, or use another finish.",
            )
        if context.shop.humidity > finish.most_humidity_percent:
            context.warn(
                "too-damp",
                op,
                f"goes on at {context.shop.humidity:g} % relative humidity, "
                f"{finish.id} needs at most {finish.most_humidity_percent:g} %.",
                "Wait for drier air, or use another finish.",
            )


def coats_allowed(context: RuleContext) -> None:
    """Rule: a finish of one coat has one coat, unless the recipe says when the next goes on."""
    for coats in coats_by_table(context):
        first, table = coats[0], context.table_of(coats[0])
        finish = finish_named(first.finish)
        if table.coats > 1 and finish.recoat_least_minutes is None and not table.recoat:
            what = f"has {table.coats} coats; one coat is usual for {finish.id}."
            context.warn_coat("one-coat", first, what, "Take out coats, or write recoat from the label.")


def coat_times_used(context: RuleContext) -> None:
    """Rule: a table of coats says nothing without effect: a recoat time, a turning, a sanding.

    In a recipe with choices there may be fewer coats than with other answers, so that one sands nothing.
    """
    for coats in coats_by_table(context):
        first, table = coats[0], context.table_of(coats[0])
        said = [context.coat_of(op) for op in coats]
        recoats = any(coat.recoated or coat.turned for coat in said) or clock_of(coats[-1], "recoat")
        if (table.recoat or table.recoat_most) and not recoats:
            next_step = "Write how many coats, or write a wait after the last one as wait, beside coat."
            context.warn_coat("unused", first, "has a recoat time, but no coat follows.", next_step)
        if table.turn and not any(coat.turned for coat in said):
            what = "says when it is turned over, but no other face follows."
            context.warn_coat("unused", first, what, "Name the faces, or take out turn.")
        sands = table.sand or table.sand_minutes != MinutesText()
        if sands and not context.sheet.choices and not any(coat.sanded for coat in said):
            what = "sands between coats, but no coat follows another" if table.sand else "has sand_minutes, but no sand"
            context.warn_coat("unused", first, f"{what}.", "Write sand and how many coats, or take it out.")


def recoat_in_window(context: RuleContext) -> None:
    """Rule: a recoat time in the recipe is within the finish's own window."""
    for coats in coats_by_table(context):
        table, finish = context.table_of(coats[0]), finish_named(coats[0].finish)
        windows = [(op, clock) for op in coats if (clock := clock_of(op, "recoat"))]
        if not windows or not table.recoat:
            continue
        op, clock = windows[0]
        wait, most = (clock.least_ms or 0) / MINUTE_MS, finish.recoat_most_minutes
        recoated_late_enough(context, op, finish, wait, "recoat")
        if most is not None and wait > most and not context.coat_of(op).sanded_later:
            what = f"is recoated after {time_text(wait)}, {finish.id} needs scuffing after {time_text(most)}."
            next_step = "Shorten recoat, or write sand in the table of the next coat."
            context.warn_coat("recoat-too-late", op, what, next_step)


def recoated_late_enough(context: RuleContext, op: Operation, finish: Finish, wait: float, key: str) -> None:
    """Warn of a next coat that comes too soon. wait: minutes, written as `key`."""
    least = finish.recoat_least_minutes
    if least is not None and wait < least:
        what = f"is recoated after {time_text(wait)}, {finish.id} usually needs {time_text(least)}."
        next_step = f"Lengthen {key}, or leave it out to use the finish's own time."
        context.warn_coat("recoat-too-soon", op, what, next_step)


def waits_after_last_coat(context: RuleContext) -> None:
    """Rule: a wait in the recipe after the last coat is no shorter than the finish usually takes."""
    for coats in coats_by_table(context):
        last, finish = coats[-1], finish_named(coats[-1].finish)
        if not context.coat_of(last).last or not context.written(last).wait:
            continue
        for clock in last.clocks:
            wait, usual = (clock.least_ms or 0) / MINUTE_MS, finish.handle_minutes
            if clock.kind == "recoat":
                recoated_late_enough(context, last, finish, wait, "wait")
            elif clock.kind == "rest" and wait < usual:
                what = f"rests {time_text(wait)} after its last coat, {finish.id} usually needs {time_text(usual)}."
                next_step = "Lengthen wait, or leave it out to use the finish's own time."
                context.warn("handled-too-soon", last, what, next_step, "wait")
