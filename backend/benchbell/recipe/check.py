"""All rules of the trade that a compiled recipe is checked by. None of them says that a thing is safe."""

from collections.abc import Callable

from benchbell.recipe.across_rules import moving_wood_is_told, room_to_move
from benchbell.recipe.angle_rules import leans_look_right
from benchbell.recipe.board_rules import boards_long_enough
from benchbell.recipe.bounds_rules import bounds_hold_something
from benchbell.recipe.clamp_rules import clamps_enough, clamps_usual, held_by_something
from benchbell.recipe.coat_rules import (
    air_for_finish,
    coat_times_used,
    coats_allowed,
    recoat_in_window,
    waits_after_last_coat,
)
from benchbell.recipe.corner_rules import corners_are_cut, tenons_miss_each_other
from benchbell.recipe.fixture_rules import fixtures_enough, fixtures_freed, fixtures_made_first, fixtures_owned
from benchbell.recipe.glue_rules import (
    clamp_long_enough,
    dry_fit_before_glue,
    joined_into_something,
    rest_before_machining,
    spread_within_open_time,
    steady_under_stress,
    warm_enough,
)
from benchbell.recipe.join_rules import joins_are_near, joins_hold, parts_get_in
from benchbell.recipe.lamination_rules import bent_on_a_form, strips_thin_enough
from benchbell.recipe.lies_rules import (
    glue_ups_close,
    joints_leave_enough,
    mates_meet,
    nothing_runs_through,
    piece_stands,
    places_are_true,
    what_is_let_in_fits,
)
from benchbell.recipe.mitre_rules import mitres_close
from benchbell.recipe.opening_rules import what_moves_is_free
from benchbell.recipe.part_rules import nothing_unused, setup_proved, woods_known
from benchbell.recipe.place_rules import good_for_its_place
from benchbell.recipe.rabbet_rules import moulded_before_mitred
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.size_rules import parts_large_enough, wood_at_machines, worked_long_before_cut
from benchbell.recipe.spline_rules import splines_bridge_nothing, splines_fit
from benchbell.recipe.steam_rules import bend_held, bend_not_too_sharp, wood_bends
from benchbell.recipe.surface_rules import bare_under_glue, coats_agree, wiped_before_glue
from benchbell.recipe.thin_rules import planed_thick_enough, ripped_thick_enough
from benchbell.recipe.veneer_rules import (
    veneer_along_the_grain,
    veneer_dry,
    veneer_not_planed,
    veneer_on_both_faces,
    veneer_pressed,
)
from benchbell.recipe.wood_rules import glued_across_the_grain, narrow_enough

Rule = Callable[[RuleContext], None]

RULES: tuple[Rule, ...] = (
    dry_fit_before_glue,
    spread_within_open_time,
    joined_into_something,
    clamps_enough,
    clamps_usual,
    held_by_something,
    bent_on_a_form,
    strips_thin_enough,
    veneer_pressed,
    veneer_on_both_faces,
    veneer_dry,
    veneer_along_the_grain,
    veneer_not_planed,
    wood_bends,
    bend_not_too_sharp,
    bend_held,
    fixtures_made_first,
    fixtures_enough,
    fixtures_owned,
    fixtures_freed,
    warm_enough,
    steady_under_stress,
    bare_under_glue,
    wiped_before_glue,
    good_for_its_place,
    rest_before_machining,
    clamp_long_enough,
    air_for_finish,
    coats_allowed,
    coat_times_used,
    recoat_in_window,
    waits_after_last_coat,
    coats_agree,
    parts_large_enough,
    planed_thick_enough,
    ripped_thick_enough,
    wood_at_machines,
    worked_long_before_cut,
    narrow_enough,
    woods_known,
    room_to_move,
    glued_across_the_grain,
    leans_look_right,
    moulded_before_mitred,
    setup_proved,
    nothing_unused,
    bounds_hold_something,
    boards_long_enough,
    places_are_true,
    nothing_runs_through,
    corners_are_cut,
    tenons_miss_each_other,
    what_is_let_in_fits,
    joints_leave_enough,
    glue_ups_close,
    mitres_close,
    splines_bridge_nothing,
    joins_are_near,
    parts_get_in,
    joins_hold,
    splines_fit,
    what_moves_is_free,
    mates_meet,
    moving_wood_is_told,
    piece_stands,
)


def check(context: RuleContext) -> None:
    """Apply every rule; their findings go into the context."""
    for rule in RULES:
        rule(context)
