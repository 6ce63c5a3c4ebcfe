"""Steps and their writing, made into operations: station, setup, minutes, clocks, cautions."""

from collections.abc import Collection, Mapping

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.clamping import check_clamps, joints_of
from benchbell.recipe.measure import TIME
from benchbell.recipe.named_sizes import Names, above_zero
from benchbell.recipe.notes import Notes, use_one_of
from benchbell.recipe.setups import check_station
from benchbell.recipe.sheet import ClockSpec, Operation, Part, Setup
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.steps import Step
from benchbell.recipe.times import coat_clocks, finish_of, glue_clocks, glue_of, wait_clocks
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import MinutesText, OperationText, Recipe
from benchbell.trade.cautions import caution_named
from benchbell.trade.stations import Station, stations, too_small

MANUAL_FIRST = "manual-first"


class Kit(Struct, frozen=True):
    """What every operation is made with. last_coats: ids of steps after which nothing of theirs is coated again."""

    recipe: Recipe
    setups: Mapping[str, Setup]
    names: Names
    parts: Mapping[str, Part]
    last_coats: Collection[str]
    shop: ShopProfile
    notes: Notes


def operation_of(step: Step, kit: Kit) -> Operation:
    """One operation, without its holds and without the setting up that others save it."""
    written, path = kit.recipe.operation[step.row], ("operation", step.row)
    check_kind(written, path, kit.notes)
    setup = setup_of(written, path, kit)
    station_name = usual_station(written, setup)
    if written.station:
        check_station(written.station, f"Operation {written.id}", (*path, "station"), kit.notes)
    glue, spread = written.glue, spread_of(written, path, kit)
    minutes = written.minutes if isinstance(written.minutes, MinutesText) else MinutesText(fixed=written.minutes)
    change = minutes.setup if minutes.setup is not None else setup.minutes if setup else 0
    attended = max(minutes.fixed + minutes.each * max(1, len(step.parts)), spread or 0)
    return Operation(
        id=step.id,
        piece=step.piece,
        name=step.id.rpartition("/")[2],
        title=title_of(written, step.coat),
        do=(written.do,) if isinstance(written.do, str) else tuple(written.do),
        station=station_name,
        setup=setup.id if setup else None,
        parts=step.parts,
        makes=step.makes,
        after=tuple(step.after),
        holds=(),
        minutes=attended + change,
        setup_minutes=change,
        each_minutes=minutes.each,
        clocks=clocks_of(step, written, kit),
        cautions=cautions_of(step, written, stations().get(station_name), kit),
        checks=tuple(written.check),
        needs=(*written.needs, *(setup.needs if setup else ())),
        measure=sizes_named(step, written, "measure", kit),
        sizes=sizes_named(step, written, "show", kit),
        glue=glue.with_ if glue else "",
        finish=written.coat.with_ if written.coat else "",
        spread_minutes=spread,
        clamps=dict(glue.clamps) if glue else {},
        stressed=glue.stressed if glue else False,
        breakable=written.breakable,
        step="glue-up" if glue else "coat" if written.coat else "dry-fit" if written.dry_fit else "work",
        line=kit.notes.lines.get(path, 0),
    )


def check_kind(written: OperationText, path: Path, notes: Notes) -> None:
    """An operation is one thing: a glue-up, a coat, a dry fit or other work."""
    kinds = [name for name in ("glue", "coat", "dry_fit") if getattr(written, name)]
    if len(kinds) > 1:
        what = f"Operation {written.id} has both {kinds[0]} and {kinds[1]}."
        notes.error("clash", path, what, "Make it two operations.")
    if written.dry_fit and written.makes:
        what = f"Operation {written.id} is a dry fit and makes {written.makes}."
        notes.error("clash", path, what, "A dry fit comes apart again: take out makes, or dry_fit.")
    if kinds and not written.parts:
        what = f"Operation {written.id} names no parts for its {kinds[0].replace('_', ' ')}."
        notes.error("no-parts", path, what, "Name its parts.")
    if (written.wait or written.wait_most) and (written.glue or written.coat):
        instead = "glue.rest" if written.glue else "coat.recoat"
        what = f"Operation {written.id} has a wait beside its {kinds[0]}."
        notes.error("clash", (*path, "wait"), what, f"Write it as {instead}.")


def setup_of(written: OperationText, path: Path, kit: Kit) -> Setup | None:
    """The setup it names; an unknown one, or one of another station, is an error."""
    if written.setup is None:
        return None
    setup = kit.setups.get(written.setup)
    if setup is None:
        what = f"Operation {written.id} has the setup “{written.setup}”, which is not there."
        kit.notes.error("unknown-name", (*path, "setup"), what, use_one_of(written.setup, kit.setups))
    elif written.station and written.station != setup.station:
        what = f"Operation {written.id} is at the {written.station}, its setup {setup.id} at the {setup.station}."
        kit.notes.error("other-station", (*path, "station"), what, "Name one station: leave it out here.")
    return setup


def spread_of(written: OperationText, path: Path, kit: Kit) -> float | None:
    """Minutes from first glue to clamps tight; None where nothing is glued."""
    if written.glue is None:
        return None
    place = (*path, "glue", "spread")
    return above_zero(written.glue.spread, kit.names, place, f"Operation {written.id}: spread", kit.notes, TIME)


def usual_station(written: OperationText, setup: Setup | None) -> str:
    """Where it is done, when the recipe leaves it out."""
    if written.station:
        return written.station
    if setup is not None:
        return setup.station
    if written.coat:
        return "finishing"
    return "assembly table" if written.glue or written.dry_fit else "bench"


def title_of(written: OperationText, coat: int) -> str:
    """A short name to show."""
    title = written.title or written.id.replace("-", " ").capitalize()
    coats = written.coat.coats if written.coat else 1
    return f"{title}, coat {coat} of {coats}" if coats > 1 else title


def sizes_named(step: Step, written: OperationText, key: str, kit: Kit) -> tuple[str, ...]:
    """The named sizes an operation measures or shows."""
    known, path = kit.recipe.size, ("operation", step.row, key)
    wanted = written.measure if key == "measure" else written.show
    for name in wanted:
        if name not in known:
            what = f"Operation {written.id}: {key} names “{name}”, which is no size here."
            kit.notes.error("unknown-name", path, what, use_one_of(name, known))
        elif key == "measure":
            check_measured(step, written, name, kit)
    return tuple(name for name in wanted if name in known)


def check_measured(step: Step, written: OperationText, name: str, kit: Kit) -> None:
    """A size that is measured says how, and is taken as often as there are such sizes."""
    size, path = kit.recipe.size[name], ("operation", step.row, "measure")
    if isinstance(size, str):
        what = f"Operation {written.id} measures {name}, which is only reckoned."
        kit.notes.error("reckoned", path, what, f'Write {name} = {{ plan = "…", measure = "how to take it" }}.')
    elif size.once != written.once:
        of_size = "for the whole build" if size.once else "of each piece"
        of_step = "for all pieces" if written.once else "for each piece"
        what = f"Operation {written.id} is done once {of_step}, and measures {name}, a size {of_size}."
        kit.notes.error("once-measured", path, what, "Give both once = true, or neither.")


def cautions_of(step: Step, written: OperationText, station: Station | None, kit: Kit) -> tuple[str, ...]:
    """The recipe's cautions and those of station, glue, finish and small parts; the manual first."""
    named = [name for name in written.caution if is_caution(name, step, written, kit.notes)]
    if station is not None:
        named += station.cautions
        if any(is_too_small(station, kit.parts[part]) for part in step.parts if part in kit.parts):
            named.append("short-stock")
    if glue := glue_of(written, step.row, kit.shop, kit.notes):
        named += glue.cautions
    if finish := finish_of(written, step.row, kit.notes):
        named += finish.cautions
    first = [name for name in named if name == MANUAL_FIRST]
    return tuple(dict.fromkeys([*first, *named]))


def is_caution(name: str, step: Step, written: OperationText, notes: Notes) -> bool:
    """Whether there is such a caution; else there is a finding."""
    try:
        caution_named(name)
    except Refused as error:
        notes.refused("unknown-name", ("operation", step.row, "caution"), f"Operation {written.id}", error)
        return False
    return True


def is_too_small(station: Station, part: Part) -> bool:
    """Whether a part is under the station's usual least size."""
    return len(part.plan_mm) == 3 and bool(too_small(station, *part.plan_mm))


def clocks_of(step: Step, written: OperationText, kit: Kit) -> tuple[ClockSpec, ...]:
    """The operation's clocks, from its glue, its finish or its wait."""
    if written.glue:
        check_clamps(written, step.row, kit.notes)
        joints_of(written, step.row, kit.names, kit.notes)
        return glue_clocks(written, step.row, kit.shop, kit.names, kit.notes)
    if written.coat:
        return coat_clocks(written, step.row, step.id in kit.last_coats, kit.shop, kit.names, kit.notes)
    return wait_clocks(written, step.row, kit.names, kit.notes)
