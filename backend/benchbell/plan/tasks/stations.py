"""The stations of a planning problem: which are needed, what they are set to, and how long each setup takes."""

from collections.abc import Mapping, Sequence
from math import ceil

from benchbell.bench.state import OperationState
from benchbell.plan.model.problem import Station
from benchbell.plan.tasks.task import OpenBuild, Task
from benchbell.recipe.sheet import Operation
from benchbell.trade.stations import station_named

WORKED = ("began", "ticked", "finished")
"""Marks of an operation that say when hands were at its station."""


def setup_key(build: OpenBuild, op: Operation) -> str:
    """What its station is set to for an operation, over all builds: those of one recipe share a setup.

    Where the recipe names none, the same operation on other pieces needs the same; "" where nothing is set.
    """
    if op.setup:
        return named_key(build, op.setup)
    return f"{build.sheet.recipe}||{op.name}{answers(build, op.piece)}" if stop_minutes(op) else ""


def named_key(build: OpenBuild, setup: str) -> str:
    """A setup of the recipe, over all builds that were answered alike. A piece with answers of its own has its own."""
    return f"{build.sheet.recipe}|{setup}{answers(build, '')}"


def answers(build: OpenBuild, piece: str) -> str:
    """What was chosen for a piece, "" where nothing was asked: other sizes need other settings."""
    return "".join(f"|{one.by_piece.get(piece, one.value)}" for one in build.sheet.choices)


def stop_minutes(op: Operation) -> int:
    """Minutes to set the operation's station where the recipe names no setup; 0 where such work leaves it as it is."""
    return station_named(op.station).stop_minutes if op.station and not op.setup else 0


def setting_minutes(op: Operation) -> float:
    """Minutes of the operation's own that go into setting its station up.

    Where the recipe names no setup they are those that it says, or else what is usual there, but no more than half.
    """
    usual = stop_minutes(op)
    return op.setup_minutes if op.setup else (op.setup_minutes or min(usual, op.minutes / 2)) if usual else 0


def stations_of(builds: Sequence[OpenBuild], tasks: Mapping[str, Task]) -> tuple[Station, ...]:
    """Every station that a task still needs. tasks: by key."""
    named = {named_key(build, setup.id): ceil(setup.minutes) for build in builds for setup in build.sheet.setups}
    standing = standing_setups(builds)
    needed: dict[str, dict[str, int]] = {}
    for build in builds:
        for task in tasks.values():
            if task.build == build.id and task.act == "work" and task.operation.station:
                at = needed.setdefault(task.operation.station, {})
                if key := setup_key(build, task.operation):
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


def standing_setups(builds: Sequence[OpenBuild]) -> dict[str, str]:
    """Station to what it is set to now: the last that was set up, or that anything was done with since."""
    latest: dict[str, tuple[int, str]] = {}
    for build in builds:
        states = build.bench.operations
        there = [(at, named.ms, named_key(build, named.setup)) for at, named in build.bench.stations.items()]
        there += [
            (op.station, since, key)
            for op in build.sheet.operations
            if (key := setup_key(build, op)) and (since := worked_since(op, states[op.id])) is not None
        ]
        for station, since, key in there:
            latest[station] = max(latest.get(station, (-1, "")), (since, key))
    return {station: setup for station, (_, setup) in latest.items()}


def worked_since(op: Operation, state: OperationState) -> int | None:
    """When the operation last changed what its station is set to; None where it did not.

    One with a named setup tells that by itself; only while it is in hand does it stand for a setup nobody recorded.
    """
    if op.setup:
        return state.marks.get("began", 0) if state.status == "in-hand" else None
    return max((ms for kind, ms in state.marks.items() if kind in WORKED), default=None)


def setup_minutes(needed: Mapping[str, int], standing: str) -> dict[str, dict[str, int]]:
    """Minutes from each setup to each needed one: a recipe says only how long a setup takes, not from which one."""
    return {at: {to: 0 if to == at else needed[to] for to in sorted(needed)} for at in sorted({"", standing, *needed})}
