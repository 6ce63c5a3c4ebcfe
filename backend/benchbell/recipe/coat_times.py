"""The clocks of a coat: from its finish, or from times in the recipe."""

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.coat_text import CoatText
from benchbell.recipe.coats import Coat, table_path, tables_of
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.measure import TIME, show
from benchbell.recipe.named_sizes import FormulaScope, positive_value
from benchbell.recipe.sheet import ClockSpec
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.times import FROM_RECIPE, ms, wait_of
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import OperationText
from benchbell.trade.finish import Finish, cure_minutes, finish_named, handle_minutes, recoat_minutes

RAGS_AFTER_MINUTES = 15
"""When the rags clock of a finish that is not wiped off is due. Common practice, no source."""


class CoatContext(Struct, frozen=True):
    """An operation with coats as written, and what its times are found with."""

    written: OperationText
    row: int
    shop: ShopProfile
    scope: FormulaScope
    findings: FindingList

    def table(self, coat: Coat) -> CoatText:
        """The coat's table."""
        return tables_of(self.written)[coat.table]

    def path(self, coat: Coat, *keys: str) -> Path:
        """The place in the file of the coat's table, or of a key of it."""
        return table_path(self.written, self.row, coat.table, *keys)

    def minutes(self, coat: Coat, key: str) -> float | None:
        """A time of the coat's table in minutes; None where it has none, or with a finding where it is wrong."""
        text, about = getattr(self.table(coat), key), f"Operation {self.written.id}: {key}"
        return positive_value(text, self.scope, self.path(coat, key), about, self.findings, TIME)


def finish_of(written: OperationText, row: int, coat: Coat, findings: FindingList) -> Finish | None:
    """The finish of a coat; None with a finding when it is unknown."""
    try:
        return finish_named(coat.finish)
    except Refused as error:
        path = table_path(written, row, coat.table, "with")
        findings.add_refusal("unknown-name", path, f"Operation {written.id}", error)
        return None


def coat_clocks(coat: Coat, is_last: bool, cures: bool, context: CoatContext) -> tuple[ClockSpec, ...]:
    """The clocks of a coat: pot life, wiping off, rags, what it waits for, then curing.

    is_last: whether none of its parts is coated again after its operation. cures: whether nothing goes on it any more.
    """
    finish = finish_of(context.written, context.row, coat, context.findings)
    if finish is None:
        return ()
    source = f"{finish.title}: typical of its class, {finish.grade}"
    recoat, turn = recoat_clock(coat, finish, source, context), turn_clock(coat, finish, source, context)
    if not coat.last:
        after = [*([recoat] if coat.recoated else []), *([turn] if turn else [])]
    else:
        own = wait_of(context.written, context.row, context.scope, context.findings)
        after = [handling(finish, source, context.shop, own) if is_last else with_wait(recoat, own)]
    curing = [cure_clock(finish, source, context.shop)] if cures else []
    return (*putting_on(finish, source), *after, *curing)


def putting_on(finish: Finish, source: str) -> tuple[ClockSpec, ...]:
    """The clocks that start while a coat is put on."""
    clocks = []
    if finish.pot_minutes is not None:
        clocks.append(ClockSpec("pot", "mixed", ("finished",), None, ms(finish.pot_minutes), source))
    if finish.wipe_to_minutes is not None:
        least, most = ms(finish.wipe_from_minutes or 0), ms(finish.wipe_to_minutes)
        clocks.append(ClockSpec("wipe-off", "coat-on", ("wiped-off",), least, most, source))
    if finish.oily_rags:
        after, why = ms(finish.wipe_to_minutes or RAGS_AFTER_MINUTES), "oily rags can catch fire by themselves"
        clocks.append(ClockSpec("rags", "coat-on", ("rags-safe",), after, None, why))
    return tuple(clocks)


def recoat_clock(coat: Coat, finish: Finish, source: str, context: CoatContext) -> ClockSpec:
    """The clock of the window for the next coat, of whatever finish.

    A finish of one coat waits until it is dry enough to handle. The window has no end where the coat is sanded before
    the next: the end says from when on that is needed.
    """
    path, about = context.path(coat, "recoat_most"), f"Operation {context.written.id}"
    least, most = context.minutes(coat, "recoat"), context.minutes(coat, "recoat_most")
    wait = least if least is not None else usual_wait(finish, context.shop)
    end = most if most is not None else None if coat.sanded_later else finish.recoat_most_minutes
    if most is not None and most < wait:
        what = f"{about} recoats after at least {show(wait, TIME, 'mm')} and at most {show(most, TIME, 'mm')}."
        context.findings.error("wait-window", path, what, "Make recoat_most longer than recoat.")
    origin_text = source if least is None and most is None else FROM_RECIPE
    return ClockSpec("recoat", "coat-on", (), ms(wait), None if end is None else ms(end), origin_text)


def usual_wait(finish: Finish, shop: ShopProfile) -> float:
    """Usual minutes until something may go on a coat: the next coat, or for a finish of one coat, a hand."""
    air = dry_air(finish, shop)
    recoat = recoat_minutes(finish, *air)
    return handle_minutes(finish, *air) if recoat is None else recoat


def turn_clock(coat: Coat, finish: Finish, source: str, context: CoatContext) -> ClockSpec | None:
    """The clock until a piece may be turned over to another face; None where its wait for the next coat says that."""
    own = context.minutes(coat, "turn")
    if not coat.turned or (own is None and coat.recoated):
        return None
    if own is not None:
        return ClockSpec("rest", "coat-on", (), ms(own), None, FROM_RECIPE)
    wait = recoat_clock(coat, finish, source, context)
    return ClockSpec("rest", "coat-on", (), wait.least_ms, None, wait.source)


def with_wait(recoat: ClockSpec, own: tuple[float | None, float | None]) -> ClockSpec:
    """The clock of the last coat before those of a later operation, with the operation's own wait in minutes."""
    least, most = own
    if least is None:
        return recoat
    return ClockSpec("recoat", "coat-on", (), ms(least), None if most is None else ms(most), FROM_RECIPE)


def handling(finish: Finish, source: str, shop: ShopProfile, own: tuple[float | None, float | None]) -> ClockSpec:
    """The clock of the rest after the last coat: until it may be handled, or the operation's own wait in minutes."""
    least, most = own
    if least is not None:
        return ClockSpec("rest", "coat-on", (), ms(least), None if most is None else ms(most), FROM_RECIPE)
    return ClockSpec("rest", "coat-on", (), ms(handle_minutes(finish, *dry_air(finish, shop))), None, source)


def cure_clock(finish: Finish, source: str, shop: ShopProfile) -> ClockSpec:
    """The clock until a coat on which nothing goes is fully cured."""
    return ClockSpec("cure", "coat-on", (), ms(cure_minutes(finish, *dry_air(finish, shop))), None, source)


def dry_air(finish: Finish, shop: ShopProfile) -> tuple[float, float]:
    """The shop's usual °C and humidity in percent, kept within the finish's limits for drying."""
    return max(shop.celsius, finish.least_celsius), min(shop.humidity, finish.most_humidity_percent)
