"""The trade's rules for finishing: air it can dry in, coats that may follow each other, and when."""

from benchbell.durations import MINUTE_MS
from benchbell.recipe.rule_context import Case, clock_of, told
from benchbell.recipe.sheet import Operation
from benchbell.trade.finish import Finish, finish_named


def first_coats(case: Case) -> list[tuple[Operation, Finish]]:
    """The first coat of each finishing operation, with its finish."""
    found = [(case.rows[op.name], op) for op in case.first if op.step == "coat"]
    return [(op, finish_named(op.finish)) for op in dict(reversed(found)).values()]


def air_for_finish(case: Case) -> None:
    """The shop is neither colder nor damper than the finish can stand."""
    for op, finish in first_coats(case):
        if case.shop.celsius < finish.least_celsius:
            case.warn(
                "too-cold",
                op,
                f"goes on at {case.shop.celsius:g} °C, {finish.id} wants {finish.least_celsius:g} °C at least.",
                "Warm the room, the piece and the finish first, or take another.",
            )
        if case.shop.humidity > finish.most_humidity_percent:
            case.warn(
                "too-damp",
                op,
                f"goes on at {case.shop.humidity:g} % relative humidity, "
                f"{finish.id} wants {finish.most_humidity_percent:g} % at most.",
                "Wait for drier air, or take another finish.",
            )


def coats_allowed(case: Case) -> None:
    """Coats follow each other only where the finish is made for it, and a wait for the next only where there is one."""
    for op, finish in first_coats(case):
        coat = case.written(op).coat
        if coat is None:
            continue
        if coat.coats > 1 and finish.recoat_least_minutes is None and not coat.recoat:
            what = f"has {coat.coats} coats; of {finish.id} one is all that is usual."
            case.warn("one-coat", op, what, "Take out coats, or write recoat from its label.", "coat")
        last = [one for one in case.first if case.rows[one.name] == case.rows[op.name]][-1]
        if (coat.recoat or coat.recoat_most) and clock_of(last, "cure") and coat.coats == 1:
            what = "has a recoat, and no coat follows it."
            case.warn("unused", op, what, "Take recoat out, or write how many coats.", "coat")


def recoat_in_window(case: Case) -> None:
    """A wait for the next coat that the recipe writes is inside the finish's own window."""
    for op, finish in first_coats(case):
        recoat, coat = clock_of(op, "recoat"), case.written(op).coat
        if recoat is None or recoat.least_ms is None or coat is None or not coat.recoat:
            continue
        wait, least, most = recoat.least_ms / MINUTE_MS, finish.recoat_least_minutes, finish.recoat_most_minutes
        if least is not None and wait < least:
            what = f"is recoated after {told(wait)}, usual for {finish.id} is {told(least)}."
            case.warn("recoat-too-soon", op, what, "Lengthen recoat, or leave it out to use the finish's.", "coat")
        if most is not None and wait > most:
            what = f"is recoated after {told(wait)}, past {told(most)} {finish.id} wants scuffing."
            case.warn("recoat-too-late", op, what, "Shorten recoat, or scuff before the next coat.", "coat")
