"""The stations of a planning problem: which are needed, what they are set to, and how long each setup takes."""

from collections.abc import Mapping, Sequence
from math import ceil

from benchbell.bench.standing import setting_of, setup_setting, stands_now
from benchbell.plan.model.problem import Station
from benchbell.plan.tasks.task import OpenBuild, Task
from benchbell.recipe.sheet import Operation
from benchbell.trade.stations import station_named


def setting_minutes(op: Operation) -> float:
    """Minutes of the operation's own that go into setting its station up.

    Where the recipe names no setup they are those that it says, or else what is usual there, but no more than half.
    """
    usual = station_named(op.station).stop_minutes if op.station and not op.setup else 0
    return op.setup_minutes if op.setup else (op.setup_minutes or min(usual, op.minutes / 2)) if usual else 0


def stations_of(builds: Sequence[OpenBuild], tasks: Mapping[str, Task]) -> tuple[Station, ...]:
    """Every station that a task still needs. tasks: by key."""
    named = {
        setup_setting(build.sheet, setup.id): ceil(setup.minutes) for build in builds for setup in build.sheet.setups
    }
    standing = {station: stands.setting for station, stands in stands_now(builds).items()}
    needed: dict[str, dict[str, int]] = {}
    for build in builds:
        for task in tasks.values():
            if task.build == build.id and task.act == "work" and task.operation.station:
                at = needed.setdefault(task.operation.station, {})
                if key := setting_of(build.sheet, task.operation):
                    at[key] = named.get(key) or max(at.get(key, 0), ceil(setting_minutes(task.operation)))
    return tuple(
        Station(
            id,
            standing.get(id, ""),
            setup_minutes(minutes, standing.get(id, "")),
            near=station_named(id).kind == "place",
        )
        for id, minutes in sorted(needed.items())
    )


def setup_minutes(needed: Mapping[str, int], standing: str) -> dict[str, dict[str, int]]:
    """Minutes from each setup to each needed one: a recipe says only how long a setup takes, not from which one."""
    return {at: {to: 0 if to == at else needed[to] for to in sorted(needed)} for at in sorted({"", standing, *needed})}
