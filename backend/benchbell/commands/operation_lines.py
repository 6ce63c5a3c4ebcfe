"""What `benchbell sheet` says below the title of an operation."""

from collections.abc import Iterable, Sequence

from benchbell.bench.unclamped import is_unclamped
from benchbell.commands.cutting_list import formulas_made, to_size_lines
from benchbell.commands.sheet_cautions import Shared, own_cautions
from benchbell.durations import MINUTE_MS
from benchbell.findings import counted
from benchbell.recipe.bounds import bounds_text, has_bounds
from benchbell.recipe.measure import TIME, dim_named, show
from benchbell.recipe.sheet import ClockHold, ClockSpec, Operation, Setup, Sheet
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.times import assembly_minutes
from benchbell.recipe.unfit_air import Air, Unfit, unfit_air

SETS = ("in-clamps", "rest", "squeeze-out", "recoat", "cure")
"""Clocks of glue or finish that sets, which it does not do in the cold. Rags and deadlines count all the same."""

RAGS = "into a closed metal can with water now, or flat and single outdoors"
"""What a clock of rags asks for at once: its time is that of a ring, not one for which rags may lie."""


def operation_lines(op: Operation, sheet: Sheet, shop: ShopProfile, shared: Shared) -> Iterable[str]:
    """The lines below an operation's title. shared: the cautions of stations, which are said elsewhere."""
    unfit = unfit_air(op, sheet.figures, Air(shop.celsius, shop.humidity))
    yield f"{op.station}, {minutes(op.minutes)} attended" if op.minutes else op.station
    yield from (setup_line(op, setup, sheet) for setup in sheet.setups if setup.id == op.setup)
    if op.parts:
        yield f"parts {', '.join(runs_of_copies(op.parts))}" + (f" → {op.makes}" if op.makes else "")
    yield from to_size_lines(op, sheet)
    if fixtures := fixtures_text(op, sheet):
        yield f"in {fixtures}" + (f", held until {op.held_until}" if op.held_until else "")
    if needed := [*op.needs, *(counted(count, f"{kind} clamp") for kind, count in op.clamps.items())]:
        yield f"have ready: {', '.join(needed)}"
    if unfit:
        yield f"! {unfit.why} {unfit.remedy}"
    yield from clock_lines(op, shop, unfit)
    yield from (f"not before {hold.operation}'s {hold.clock} is over" for hold in holds_left(op, sheet))
    yield from (f"waits until {text}" for text in gates(op, sheet))
    yield from size_lines(op, sheet)
    yield from (f"- {step}" for step in op.do)
    yield from (f"check: {check}" for check in op.checks)
    if op.sharpen:
        yield f"then sharpen {', '.join(op.sharpen)}: {minutes(op.sharpen_minutes)} of the time above"
    if own := own_cautions(op, shared):
        yield f"! {', '.join(own)}"


def clock_lines(op: Operation, shop: ShopProfile, unfit: Unfit | None) -> Iterable[str]:
    """A line for each clock, with its source where that differs from the one before. unfit: air that sets nothing."""
    source = ""
    for clock in op.clocks:
        name = "glue setting" if is_unclamped(op) and clock.kind == "in-clamps" else clock.kind
        times = unfit.instead if unfit and clock.kind in SETS else times_at(clock, op, shop)
        yield f"clock {name}: {times}{'' if clock.source == source else f' ({clock.source})'}"
        source = clock.source


def times_at(clock: ClockSpec, op: Operation, shop: ShopProfile) -> str:
    """A clock's times, with what they mean where that is not plain: closed assembly, rags."""
    if clock.kind == "rags":
        ring = minutes((clock.least_ms or 0) / MINUTE_MS)
        return f"{RAGS}; it rings after {ring}, until somebody says they are safe"
    if clock.kind == "open":
        closed = "joints driven home" if is_unclamped(op) else "clamps tight"
        most = minutes(assembly_minutes(op, shop))
        return f"{clock_times(clock)}, then closed assembly: {closed} at most {most} from first glue"
    return clock_times(clock)


def size_lines(op: Operation, sheet: Sheet) -> Iterable[str]:
    """The sizes that an operation measures, and those it shows and does not make."""
    made = formulas_made(op, sheet)
    for size in sheet.sizes:
        planned = show(size.plan, dim_named(size.dim), sheet.units)
        if size.name in op.measure:
            yield f"measure {size.name}, planned {planned}: {size.measure}"
            if has_bounds(size):
                yield f"{size.name} {bounds_text(size, sheet.units)}: what comes after it waits until it is"
        elif size.name in op.sizes and (f"@{size.name}",) not in made:
            yield f"size {size.name}: {planned}"


def holds_left(op: Operation, sheet: Sheet) -> list[ClockHold]:
    """The holds of an operation that none which comes before it had: what held one of those is over long ago."""
    by_id = {other.id: other for other in sheet.operations}
    over: set[ClockHold] = set()
    seen: set[str] = set()
    ahead = list(op.after)
    while ahead:
        id = ahead.pop()
        if id not in seen:
            seen.add(id)
            over.update(by_id[id].holds)
            ahead += by_id[id].after
    return [hold for hold in op.holds if hold not in over]


def gates(op: Operation, sheet: Sheet) -> Iterable[str]:
    """The sizes with bounds that are measured right before an operation: "moisture is at most 9 %"."""
    measured = {name for other in sheet.operations if other.id in op.after for name in other.measure}
    for size in sheet.sizes:
        if size.name in measured and has_bounds(size):
            yield f"{size.name} is {bounds_text(size, sheet.units)}"


def fixtures_text(op: Operation, sheet: Sheet) -> str:
    """The fixtures that an operation holds: "Form for the bows, 2 × Caul"."""
    titles = {fixture.id: fixture.title for fixture in sheet.fixtures}
    return ", ".join(titles[id] if count == 1 else f"{count} × {titles[id]}" for id, count in op.fixtures.items())


def setup_line(op: Operation, setup: Setup, sheet: Sheet) -> str:
    """A setup on one line: its values, the time to change over to it, and its proof cut."""
    values = [f"{value.name} {show(value.plan, dim_named(value.dim), sheet.units)}" for value in setup.set]
    change = f"{minutes(op.setup_minutes)} to set up" if op.setup_minutes else "already set up"
    prove = f". Prove: {setup.prove}" if setup.prove else ""
    return f"setup {setup.id} ({change}): {', '.join(values)}{prove}"


def runs_of_copies(parts: Sequence[str]) -> list[str]:
    """Ids with runs of copies put together: A/leg-1, A/leg-2, A/leg-3 become A/leg-1…3."""
    runs: list[list[str]] = []
    for id in parts:
        if runs and is_next_copy(runs[-1][-1], id):
            runs[-1].append(id)
        else:
            runs.append([id])
    return [run[0] + (f"…{run[-1].rpartition('-')[2]}" if len(run) > 1 else "") for run in runs]


def is_next_copy(one: str, other: str) -> bool:
    """Whether both are copies of one part and `other` has the next number."""
    (name, _, number), (other_name, _, other_number) = one.rpartition("-"), other.rpartition("-")
    digits = number.isdigit() and other_number.isdigit()
    return digits and name == other_name and int(other_number) == int(number) + 1


def clock_times(clock: ClockSpec) -> str:
    """A clock's least and most time: "at least 30 min, at most 2 h"."""
    least = "" if not clock.least_ms else f"at least {minutes(clock.least_ms / MINUTE_MS)}"
    most = "" if clock.most_ms is None else f"at most {minutes(clock.most_ms / MINUTE_MS)}"
    return ", ".join(text for text in (least, most) if text)


def minutes(value: float) -> str:
    """Minutes as text, such as "1 h 30 min"."""
    return show(value, TIME, "mm")
