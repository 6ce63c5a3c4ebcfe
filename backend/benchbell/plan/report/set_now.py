"""Which operations find their station set for them, and would later have to have it set again."""

from collections.abc import Sequence

from benchbell.plan.report.timeline import Timeline


def set_now(t: Timeline) -> frozenset[str]:
    """Operations whose station stands in their setup, is changed after them, and not back to it.

    What goes on where the last operation has just been says nothing new, and is left out. An operation without a named
    setup counts as changing the station: whatever it set is not known.
    """
    standing = {station.id: station.standing for station in t.problem.stations}
    return frozenset(op for id, row in t.on_station.items() for op in set_now_at(row, standing.get(id, ""), t))


def set_now_at(row: Sequence[str], standing: str, t: Timeline) -> list[str]:
    """The same of one station. row: its operations in the plan's order. standing: its setup at the beginning."""
    setups = [t.ops[op].setup for op in row]
    last = {setup: n for n, setup in enumerate(setups)}
    last_named = max((n for n, setup in enumerate(setups) if setup), default=0)
    ends = run_ends(setups)
    found = []
    for n, (op, setup) in enumerate(zip(row, setups, strict=True)):
        before, goes_on = (setups[n - 1], t.rank[row[n - 1]] == t.rank[op] - 1) if n else (standing, False)
        if setup and setup == before and not goes_on and ends[n] == last[setup] < last_named:
            found.append(op)
    return found


def run_ends(setups: Sequence[str]) -> list[int]:
    """By place, the last place up to which the same setup follows without another."""
    ends = list(range(len(setups)))
    for n in range(len(setups) - 2, -1, -1):
        if setups[n] == setups[n + 1]:
            ends[n] = ends[n + 1]
    return ends
