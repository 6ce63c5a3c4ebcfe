"""Fixtures of open builds: to the planner kinds like those of clamps, held from one task to the end of another."""

from collections.abc import Iterable, Mapping, Sequence

from benchbell.bench.fixtures import fixture_key, holds_fixtures, how_many
from benchbell.plan.model.problem import FIXTURE, Hold
from benchbell.plan.tasks.task import OpenBuild, Task, key_of, last_key
from benchbell.recipe.sheet import Fixture, Operation


def fixture_kind(build: str, fixture: Fixture) -> str:
    """The kind of a fixture in the problem's holds."""
    return FIXTURE + fixture_key(build, fixture)


def fixture_holds(build: OpenBuild, tasks: Mapping[str, Task]) -> Iterable[Hold]:
    """The fixtures that each operation of the build will hold, or holds already. tasks: by key."""
    fixtures = {fixture.id: fixture for fixture in build.sheet.fixtures}
    ops = {op.id: op for op in build.sheet.operations}
    for op in build.sheet.operations:
        work, frees = key_of(build.id, op.id), freeing_key(build.id, op, ops)
        if work in tasks or holds_fixtures(op, build.bench.operations):
            for id, count in op.fixtures.items():
                kind = fixture_kind(build.id, fixtures[id])
                yield Hold(kind, count, work if work in tasks else "", frees if frees in tasks else "")


def freeing_key(build: str, op: Operation, ops: Mapping[str, Operation]) -> str:
    """The key of the task at whose end the operation's fixtures are free. ops: the build's, by id."""
    return last_key(build, ops[op.held_until] if op.held_until else op)


def fixture_counts(builds: Sequence[OpenBuild], owned: Mapping[str, int]) -> dict[str, int]:
    """How many there are of each fixture, by kind. owned: of the shop's own, by name."""
    fixtures: dict[str, Fixture] = {}
    most: dict[str, int] = {}
    for build in builds:
        for fixture in build.sheet.fixtures:
            kind = fixture_kind(build.id, fixture)
            fixtures[kind] = fixture
            taken = (op.fixtures.get(fixture.id, 0) for op in build.sheet.operations)
            most[kind] = max(most.get(kind, 0), *taken)
    return {kind: how_many(fixture, owned, most[kind]) for kind, fixture in fixtures.items()}


def fixture_titles(builds: Sequence[OpenBuild]) -> dict[str, str]:
    """The title of each fixture, by kind."""
    return {fixture_kind(build.id, fixture): fixture.title for build in builds for fixture in build.sheet.fixtures}
