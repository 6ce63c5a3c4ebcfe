"""Operations of the sheet, made from steps: station, setup, minutes, clocks and cautions."""

from collections.abc import Collection, Mapping

from msgspec import Struct

from benchbell.findings import Refused, use_one_of
from benchbell.recipe.clamping import check_clamps, joints_of
from benchbell.recipe.coat_operations import as_coat, as_sanding
from benchbell.recipe.coat_times import CoatContext, coat_clocks, finish_of
from benchbell.recipe.coats import tables_of
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.fixtures import FixtureIndex, freeing_step, held_fixtures
from benchbell.recipe.measure import TIME
from benchbell.recipe.named_sizes import FormulaScope, positive_value
from benchbell.recipe.setups import check_station
from benchbell.recipe.sheet import ClockSpec, Operation, Part, Setup
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.small_parts import small_measures, worked_in_lengths
from benchbell.recipe.steaming import CHECKS, Steaming, steam_clocks, steaming_of
from benchbell.recipe.steps import Step
from benchbell.recipe.text_types import lines_of, minutes_by_kind
from benchbell.recipe.times import glue_clocks, glue_of, wait_clocks
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import OperationText, Recipe
from benchbell.trade.cautions import caution_named
from benchbell.trade.stations import Station, stations

MANUAL_FIRST = "manual-first"


class OperationContext(Struct, frozen=True):
    """What every operation is compiled with. last_coats: ids of the steps after which their parts get no more coats.

    uncovered_coats: ids of the steps on whose coats nothing goes any more.
    """

    recipe: Recipe
    setups: Mapping[str, Setup]
    fixtures: FixtureIndex
    scope: FormulaScope
    parts: Mapping[str, Part]
    last_coats: Collection[str]
    uncovered_coats: Collection[str]
    shop: ShopProfile
    findings: FindingList


def operation_of(step: Step, context: OperationContext) -> Operation:
    """One operation without its holds. Its setup minutes count in full, whatever setup the station has already."""
    written, path = context.recipe.operation[step.row], ("operation", step.row)
    check_kind(written, path, context.findings)
    setup = setup_of(written, path, context)
    station_name = usual_station(written, setup)
    if written.station:
        check_station(written.station, f"Operation {written.id}", (*path, "station"), context.findings)
    glue, spread = written.glue, spread_of(written, path, context)
    minutes = minutes_by_kind(written.minutes)
    change = minutes.setup if minutes.setup is not None else setup.minutes if setup else 0
    sharpen = written.sharpen.minutes if written.sharpen else 0
    attended = max(minutes.fixed + minutes.each * max(1, len(step.parts)), spread or 0) + sharpen
    operation = Operation(
        id=step.id,
        piece=step.piece,
        name=step.id.rpartition("/")[2],
        title=written.title or written.id.replace("-", " ").capitalize(),
        do=lines_of(written.do),
        station=station_name,
        setup=setup.id if setup else None,
        parts=step.parts,
        makes=step.makes,
        after=tuple(step.after),
        holds=(),
        minutes=attended + change,
        setup_minutes=change,
        each_minutes=minutes.each,
        clocks=clocks_of(step, written, context),
        cautions=cautions_of(step, written, stations().get(station_name), context),
        checks=(*written.check, *(CHECKS if written.steam else ())),
        needs=(*written.needs, *(setup.needs if setup else ())),
        measure=sizes_named(step, written, "measure", context),
        sizes=sizes_named(step, written, "show", context),
        glue=glue.with_ if glue else "",
        finish=step.coat.finish if step.coat and step.is_coat else "",
        spread_minutes=spread,
        clamps=dict(glue.clamps) if glue else {},
        fixtures=held_fixtures(step, written, context.fixtures, context.findings),
        held_until=freeing_step(step, written, context.fixtures, context.findings),
        stressed=glue.stressed if glue else False,
        sharpen=tuple(written.sharpen.edges) if written.sharpen else (),
        sharpen_minutes=sharpen,
        breakable=written.breakable,
        step="glue-up" if glue else "coat" if step.is_coat else "dry-fit" if written.dry_fit else "work",
        line=context.findings.line_in_recipe(path),
    )
    if step.coat is None:
        return operation
    return (as_sanding if step.sands else as_coat)(operation, step.coat, written)


def check_kind(written: OperationText, path: Path, findings: FindingList) -> None:
    """Add findings for an operation that is several of glue-up, coat, dry fit and steaming, or has keys that clash."""
    kinds = [name for name in ("glue", "coat", "dry_fit", "steam") if getattr(written, name)]
    if len(kinds) > 1:
        what = f"Operation {written.id} has both {kinds[0]} and {kinds[1]}."
        findings.error("clash", path, what, "Make it two operations.")
    if written.dry_fit and written.makes:
        what = f"Operation {written.id} is a dry fit, but makes {written.makes}."
        findings.error("clash", path, what, "Take out makes, or dry_fit: a dry fit is taken apart again.")
    if kinds and not written.parts:
        what = f"Operation {written.id} names no parts for its {kinds[0].replace('_', ' ')}."
        findings.error("no-parts", path, what, "Name its parts.")
    faces = [face for table in tables_of(written) for face in table.faces if table.faces.count(face) > 1]
    if faces:
        what = f"Operation {written.id} names the face “{faces[0]}” twice."
        findings.error("twice", (*path, "coat"), what, "Name each face once; coats says how many.")
    if (written.wait or written.wait_most) and written.glue:
        what = f"Operation {written.id} has both a wait and a glue."
        findings.error("clash", (*path, "wait"), what, "Write the wait as glue.rest.")


def setup_of(written: OperationText, path: Path, context: OperationContext) -> Setup | None:
    """The setup an operation names, or None; an unknown one, or one of another station, gives a finding."""
    if written.setup is None:
        return None
    setup = context.setups.get(written.setup)
    if setup is None:
        what = f"Operation {written.id} has the setup “{written.setup}”, which the recipe does not have."
        context.findings.error("unknown-name", (*path, "setup"), what, use_one_of(written.setup, context.setups))
    elif written.station and written.station != setup.station:
        what = f"Operation {written.id} is at the {written.station}, its setup {setup.id} at the {setup.station}."
        context.findings.error("other-station", (*path, "station"), what, "Name one station: leave it out here.")
    return setup


def spread_of(written: OperationText, path: Path, context: OperationContext) -> float | None:
    """Minutes from the first glue to tight clamps; None when nothing is glued or the formula is wrong."""
    if written.glue is None:
        return None
    place = (*path, "glue", "spread")
    return positive_value(
        written.glue.spread, context.scope, place, f"Operation {written.id}: spread", context.findings, TIME
    )


def usual_station(written: OperationText, setup: Setup | None) -> str:
    """The operation's station: the recipe's, its setup's, or the usual one for its kind."""
    if written.station:
        return written.station
    if setup is not None:
        return setup.station
    if written.coat:
        return "finishing"
    if written.steam:
        return "steam box"
    if written.press in ("screw press", "vacuum"):
        return "press"
    return "assembly table" if written.glue or written.dry_fit else "bench"


def sizes_named(step: Step, written: OperationText, key: str, context: OperationContext) -> tuple[str, ...]:
    """The named sizes an operation measures or shows, by `key`; an unknown one gives a finding."""
    known, path = context.recipe.size, ("operation", step.row, key)
    named = written.measure if key == "measure" else written.show
    for name in named:
        if name not in known:
            what = f"Operation {written.id}: {key} names “{name}”, which is not a size of the recipe."
            context.findings.error("unknown-name", path, what, use_one_of(name, known))
        elif key == "measure":
            check_measured(step, written, name, context)
    return tuple(name for name in named if name in known)


def check_measured(step: Step, written: OperationText, name: str, context: OperationContext) -> None:
    """Add a finding for a measured size without instructions, or measured once for many pieces or the reverse."""
    size, path = context.recipe.size[name], ("operation", step.row, "measure")
    if isinstance(size, str):
        what = f"Operation {written.id} measures {name}, which is only a formula."
        context.findings.error(
            "reckoned", path, what, f'Write {name} = {{ plan = "…", measure = "how to measure it" }}.'
        )
    elif size.once != written.once:
        of_size = "for the whole build" if size.once else "of each piece"
        of_step = "for all pieces" if written.once else "for each piece"
        what = f"Operation {written.id} is done once {of_step}, but measures {name}, a size {of_size}."
        context.findings.error("once-measured", path, what, "Give once = true to both, or to neither.")


def cautions_of(
    step: Step, written: OperationText, station: Station | None, context: OperationContext
) -> tuple[str, ...]:
    """Ids of the recipe's cautions and those of station, glue, finish and short parts, `manual-first` first."""
    named = [name for name in written.caution if is_caution(name, step, written, context.findings)]
    if station is not None:
        named += station.cautions
        long = worked_in_lengths(written, ("operation", step.row), context.scope, context.findings)
        parts = [context.parts[id] for id in step.parts if id in context.parts]
        if any(small_measures(part, station, long) for part in parts):
            named.append("short-stock")
    if glue := glue_of(written, step.row, context.shop, context.findings):
        named += glue.cautions
    if step.coat and (finish := finish_of(written, step.row, step.coat, context.findings)):
        named += finish.cautions
    first = [name for name in named if name == MANUAL_FIRST]
    return tuple(dict.fromkeys([*first, *named]))


def is_caution(name: str, step: Step, written: OperationText, findings: FindingList) -> bool:
    """Whether there is such a caution; if not, add a finding."""
    try:
        caution_named(name)
    except Refused as error:
        findings.add_refusal("unknown-name", ("operation", step.row, "caution"), f"Operation {written.id}", error)
        return False
    return True


def steaming_of_step(step: Step, written: OperationText, context: OperationContext) -> Steaming | None:
    """What a step steams, or None."""
    parts = [context.parts[id] for id in step.parts if id in context.parts]
    return steaming_of(written, step.row, parts, context.recipe, context.scope, context.findings)


def clocks_of(step: Step, written: OperationText, context: OperationContext) -> tuple[ClockSpec, ...]:
    """The operation's clocks: those of its glue, its finish, its wait, or of the steam box."""
    if written.glue:
        check_clamps(written, step.row, context.findings)
        joints_of(written, step.row, context.scope, context.findings)
        return glue_clocks(written, step.row, context.shop, context.scope, context.findings)
    if step.coat and not step.sands:
        coat_context = CoatContext(written, step.row, context.shop, context.scope, context.findings)
        return coat_clocks(step.coat, step.id in context.last_coats, step.id in context.uncovered_coats, coat_context)
    if step.sands:
        return ()
    steaming = steaming_of_step(step, written, context)
    if steaming and not written.wait:
        return steam_clocks(steaming)
    return wait_clocks(written, step.row, context.scope, context.findings)
