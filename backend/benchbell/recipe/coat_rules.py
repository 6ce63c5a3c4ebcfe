"""Rules for coats of finish: the air they dry in, how many may follow each other, and when."""

from benchbell.durations import MINUTE_MS
from benchbell.recipe.rule_context import RuleContext, clock_of, time_text
from benchbell.recipe.sheet import Operation
from benchbell.trade.air import degrees
from benchbell.trade.finish import Finish, finish_named


def first_coats(context: RuleContext) -> list[tuple[Operation, Finish]]:
    """The first coat of each coating operation, with its finish."""
    found = [(context.rows[op.name], op) for op in context.first_piece if op.step == "coat"]
    return [(op, finish_named(op.finish)) for op in dict(reversed(found)).values()]


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
    """Rule: a finish of one coat has one coat, and a recoat time is written only when another coat follows."""
    for op, finish in first_coats(context):
        coat = context.written(op).coat
        if coat is None:
            continue
        if coat.coats > 1 and finish.recoat_least_minutes is None and not coat.recoat:
            what = f"has {coat.coats} coats; one coat is usual for {finish.id}."
            context.warn("one-coat", op, what, "Take out coats, or write recoat from the label.", "coat")
        last = [one for one in context.first_piece if context.rows[one.name] == context.rows[op.name]][-1]
        if (coat.recoat or coat.recoat_most) and clock_of(last, "cure") and coat.coats == 1:
            what = "has a recoat time, but no coat follows."
            context.warn("unused", op, what, "Take out recoat, or write how many coats.", "coat")


def recoat_in_window(context: RuleContext) -> None:
    """Rule: a recoat time in the recipe is within the finish's own window."""
    for op, finish in first_coats(context):
        recoat, coat = clock_of(op, "recoat"), context.written(op).coat
        if recoat is None or recoat.least_ms is None or coat is None or not coat.recoat:
            continue
        wait, least, most = recoat.least_ms / MINUTE_MS, finish.recoat_least_minutes, finish.recoat_most_minutes
        if least is not None and wait < least:
            what = f"is recoated after {time_text(wait)}, {finish.id} usually needs {time_text(least)}."
            context.warn(
                "recoat-too-soon", op, what, "Lengthen recoat, or leave it out to use the finish's own time.", "coat"
            )
        if most is not None and wait > most:
            what = f"is recoated after {time_text(wait)}, {finish.id} needs scuffing after {time_text(most)}."
            context.warn("recoat-too-late", op, what, "Shorten recoat, or scuff before the next coat.", "coat")
