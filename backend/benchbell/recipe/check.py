"""All rules of the trade that a compiled recipe is checked by. None of them says that a thing is safe."""

from collections.abc import Callable

from benchbell.recipe.as_built import measured_in_time
from benchbell.recipe.clamp_rules import clamps_enough, clamps_usual
from benchbell.recipe.coat_rules import air_for_finish, coats_allowed, recoat_in_window
from benchbell.recipe.fixture_rules import fixtures_enough, fixtures_freed, fixtures_made_first, fixtures_owned
from benchbell.recipe.glue_rules import (
    clamp_long_enough,
    dry_fit_before_glue,
    joined_into_something,
    rest_before_machining,
    spread_within_open_time,
    warm_enough,
)
from benchbell.recipe.lies_rules import (
    glue_ups_close,
    joints_leave_enough,
    mates_meet,
    moving_wood_is_told,
    nothing_runs_through,
    piece_stands,
    places_are_true,
)
from benchbell.recipe.part_rules import nothing_unused, parts_large_enough, room_to_move, setup_proved
from benchbell.recipe.rule_context import RuleContext

Rule = Callable[[RuleContext], None]

RULES: tuple[Rule, ...] = (
    measured_in_time,
    dry_fit_before_glue,
    spread_within_open_time,
    joined_into_something,
    clamps_enough,
    clamps_usual,
    fixtures_made_first,
    fixtures_enough,
    fixtures_owned,
    fixtures_freed,
    warm_enough,
    rest_before_machining,
    clamp_long_enough,
    air_for_finish,
    coats_allowed,
    recoat_in_window,
    parts_large_enough,
    room_to_move,
    setup_proved,
    nothing_unused,
    places_are_true,
    nothing_runs_through,
    joints_leave_enough,
    glue_ups_close,
    mates_meet,
    moving_wood_is_told,
    piece_stands,
)


def check(context: RuleContext) -> None:
    """Apply every rule; their findings go into the context."""
    for rule in RULES:
        rule(context)
