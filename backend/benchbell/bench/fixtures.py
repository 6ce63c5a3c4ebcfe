"""Which operations hold their fixtures now. Twin: pwa/src/bench/fixtures.ts."""

from collections.abc import Mapping

from benchbell.bench.state import OperationState
from benchbell.recipe.label_code import slug
from benchbell.recipe.sheet import Fixture, Operation
from benchbell.recipe.shop_profile import fixture_count

FREE = ("waiting", "ready", "spoiled")
"""States of an operation in which nothing of it stands in a fixture."""


def holds_fixtures(op: Operation, states: Mapping[str, OperationState]) -> bool:
    """Whether the operation has begun, and what frees its fixtures has not happened. states: of the build, by id."""
    state = states[op.id]
    if not op.fixtures or state.status in FREE:
        return False
    if op.held_until:
        return states[op.held_until].status != "done"
    return state.status != "done" and "clamps-off" not in state.marks


def fixture_key(build: str, fixture: Fixture) -> str:
    """A fixture's name over all builds: one of the shop's has the same in each of them."""
    return f"{build}|{fixture.id}" if fixture.of else f"|{slug(fixture.owned)}"


def how_many(fixture: Fixture, owned: Mapping[str, int], most: int) -> int:
    """How many there are of a fixture. owned: of the shop's, by name. most: what one operation takes of it, for one
    that the shop has not counted."""
    if fixture.of:
        return len(fixture.of)
    counted = fixture_count(owned, fixture.owned)
    return most if counted is None else counted
