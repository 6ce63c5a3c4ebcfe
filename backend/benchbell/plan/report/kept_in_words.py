"""What keeps a task from being done earlier, as a sentence."""

from benchbell.plan.model.problem import Placed
from benchbell.plan.report.closed import closed_words, is_only_closing, is_short
from benchbell.plan.report.context import Context
from benchbell.plan.report.waits_in_words import goes_on, titles
from benchbell.plan.report.what_keeps import Kept
from benchbell.recipe.measure import TIME, show
from benchbell.trade.stations import stations


def kept_by_wait(one: Placed, found: Kept, c: Context) -> str:
    """What is not over before."""
    what = "the glue sets" if c.tasks[one.op].act != "work" else goes_on(found.ops, c.tasks)
    since = max((c.t.at[op].free for op in found.ops), default=c.t.problem.start)
    return waits_until(one, found.until, what, since, c)


def waits_until(one: Placed, until: int, what: str, since: int, c: Context) -> str:
    """What goes on until then, since a minute: while the shop is closed, while a station is set up, or else."""
    when, closed = c.say(until, one.setup), closed_words(until, c)
    if closed:
        if is_short(until, c.t) or not is_only_closing(since, until, c.t):
            return f"{begun(what)} until {when}, {closed}."
        return f"{closed.capitalize()} {what}."
    if until > one.setup:
        return f"{begun(what)} until {when}, while you set up."
    return f"Not before {when}: {what} until then."


def kept_by_clock(one: Placed, found: Kept, c: Context) -> str:
    """A clock that runs; "" where it only waits for the shop to open."""
    before = c.running.get(one.op)
    if before is None and c.tasks[one.op].act == "work":
        return ""
    words = goes_on([before.key], {before.key: before}) if before else "the glue sets"
    return waits_until(one, found.until, words, c.t.problem.start, c)


def kept_by_station(one: Placed, found: Kept, c: Context) -> str:
    """Its station is in use: a machine by its name, a place by what is done there."""
    station = c.t.ops[one.op].station or ""
    known = stations().get(station)
    is_place = known is not None and known.kind == "place"
    words = f"{titles(found.ops, c.tasks)} takes the same place" if is_place else f"the {station} is in use"
    return f"Not before {c.say(found.until, one.setup)}: {words} until then."


def kept_by_clamps(one: Placed, found: Kept, c: Context) -> str:
    """Clamps or a fixture in use."""
    is_one_fixture = len(found.kinds) == 1 and found.kinds[0] in c.fixtures
    words = f"{kinds_in_words(found.kinds, c)} {'is' if is_one_fixture else 'are'}"
    when = c.say(found.until, one.setup)
    if found.until > one.setup:
        return f"{begun(words)} in use until {when}, while you set up."
    return f"Not before {when}: {words} in use until then."


def kept_by_closing(one: Placed, found: Kept, c: Context) -> str:
    """Closing time."""
    return f"Not sooner: it would not be done by {c.say(found.until, one.setup)}."


def kept_for_what_follows(one: Placed, found: Kept, c: Context) -> str:
    """What must follow it soon."""
    return f"Not sooner: {titles(found.ops, c.tasks)} must follow within {duration(found.until)}, in working hours."


def kept_for_what_is_wanted(one: Placed, found: Kept, c: Context) -> str:
    """What is better not left long after it."""
    return f"Not sooner: {titles(found.ops, c.tasks)} is best done within {duration(found.until)}, in working hours."


def kept_while_away(one: Placed, found: Kept, c: Context) -> str:
    """The only one who may use its station is not there."""
    who = c.t.problem.crew[one.hand].name if one.hand is not None else "its hand"
    station = c.tasks[one.op].operation.station
    return f"Not before {c.say(found.until, one.setup)}: of those who may use the {station}, only {who} is there then."


def kept_by_what_is_left(one: Placed, found: Kept, c: Context) -> str:
    """A piece too short to be worth starting up for the next day."""
    return f"Not sooner: {duration(found.until)} of it would be left over at closing."


def kept_by_what_is_begun(one: Placed, found: Kept, c: Context) -> str:
    """A piece too short to be worth beginning."""
    return f"Not sooner: closing would stop it after {duration(found.until)}."


def kept_by_its_dust(one: Placed, found: Kept, c: Context) -> str:
    """Its dust on something wet."""
    what = titles(found.ops, c.tasks) if found.ops else "a coat"
    return f"Not sooner: its dust would spoil {what}, wet until {c.say(found.until, one.setup)}."


def kept_by_dust(one: Placed, found: Kept, c: Context) -> str:
    """The dust of others while it is wet."""
    return f"Not sooner: it would be wet while {titles(found.ops, c.tasks)} throws dust."


def kept_by_hurry(one: Placed, found: Kept, c: Context) -> str:
    """Closing time right after it."""
    return f"Not sooner: it would be rushed, just before closing at {c.say(found.until, one.setup)}."


KEPT_WORDS = {
    "wait": kept_by_wait,
    "clock": kept_by_clock,
    "station": kept_by_station,
    "clamps": kept_by_clamps,
    "closing": kept_by_closing,
    "follow": kept_for_what_follows,
    "wanted": kept_for_what_is_wanted,
    "away": kept_while_away,
    "left": kept_by_what_is_left,
    "begun": kept_by_what_is_begun,
    "dust": kept_by_its_dust,
    "wet": kept_by_dust,
    "hurry": kept_by_hurry,
}
"""By what keeps an operation: how that is said."""


def kinds_in_words(kinds: tuple[str, ...], c: Context) -> str:
    """As "the bar clamps", "“Bow form”"."""
    fixtures = [f"“{c.fixtures[kind]}”" for kind in kinds if kind in c.fixtures]
    clamps = [kind for kind in kinds if kind not in c.fixtures]
    return " and ".join([*fixtures, *([f"the {' and '.join(clamps)} clamps"] if clamps else [])])


def begun(words: str) -> str:
    """Words at the beginning of a sentence."""
    return words[0].upper() + words[1:]


def duration(minutes: int) -> str:
    """As "1 h 30 min"."""
    return show(minutes, TIME, "mm")
