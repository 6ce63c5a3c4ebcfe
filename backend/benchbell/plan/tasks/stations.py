"""The stations of a planning problem: which are needed, what they are set to, and how long each setup takes."""

from collections.abc import Mapping, Sequence
from math import ceil

from benchbell.bench.standing import stands_now
from benchbell.plan.model.problem import Station
from benchbell.plan.tasks.task import OpenBuild, Task
from benchbell.recipe.sheet import Operation, Setup


def setup_key(build: OpenBuild, op: Operation) -> str:
    """The setup's name over all builds, so that builds of one recipe share a setup; "" without one."""
    return f"{build.sheet.recipe}|{op.setup}" if op.setup else ""


def stations_of(builds: Sequence[OpenBuild], tasks: Mapping[str, Task]) -> tuple[Station, ...]:
    """Every station that a task still needs. tasks: by key."""
    by_id = {(build.sheet.recipe, setup.id): setup for build in builds for setup in build.sheet.setups}
    setups = {f"{recipe}|{id}": setup for (recipe, id), setup in by_id.items()}
    standing = {station: stands.setting for station, stands in stands_now(builds).items()}
    needed: dict[str, set[str]] = {}
    for build in builds:
        for task in tasks.values():
            if task.build == build.id and task.act == "work" and task.operation.station:
                needed.setdefault(task.operation.station, set()).update({setup_key(build, task.operation)} - {""})
    return tuple(
        Station(id, standing.get(id, ""), setup_minutes(sorted(keys), standing.get(id, ""), setups))
        for id, keys in sorted(needed.items())
    )


def setup_minutes(needed: Sequence[str], standing: str, setups: Mapping[str, Setup]) -> dict[str, dict[str, int]]:
    """Minutes from each setup to each needed one. A recipe says only how long a setup takes, not from which one."""
    minutes = {to: ceil(setups[to].minutes) for to in needed}
    return {at: {to: 0 if to == at else minutes[to] for to in needed} for at in sorted({"", standing, *needed})}
