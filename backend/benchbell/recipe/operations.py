"""Steps and their writing, made into operations: station, setup, minutes, clocks, cautions, holds."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.named import Figure, Names, figure_of
from benchbell.recipe.notes import Notes
from benchbell.recipe.order import Step
from benchbell.recipe.pieces import Copies
from benchbell.recipe.sheet import Assembly, ClockSpec, Hold, Operation, Part, Setup, SetValue
from benchbell.recipe.shop import Shop
from benchbell.recipe.times import coat_clocks, finish_of, glue_clocks, glue_of, minutes_of, wait_clocks
from benchbell.recipe.written import MinutesText, OperationText, Recipe, SetupText
from benchbell.trade.cautions import caution_named
from benchbell.trade.stations import Station, station_named, too_small

MANUAL_FIRST = "manual-first"


class Kit(Struct, frozen=True):
    """What every operation is made with."""

    recipe: Recipe
    setups: Mapping[str, Setup]
    names: Names
    copies: Copies
    parts: Mapping[str, Part]
    inside: Mapping[str, tuple[str, ...]]
    shop: Shop
    notes: Notes


def all_setups(recipe: Recipe, names: Names, notes: Notes) -> tuple[Setup, ...]:
    """Every setup, its values checked and reckoned."""
    known: dict[str, Setup] = {}
    for row, written in enumerate(recipe.setup):
        if written.id in known:
            notes.error("twice", ("setup", row), f"Setup {written.id} is there twice.", "Give each its own id.")
        station_of(written.station, ("setup", row, "station"), notes)
        values = [
            SetValue(name, figure.compiled.dim.name, figure.compiled.postfix, figure.plan)
            for name, text in written.set.items()
            if (figure := set_value(written, name, text, row, names, notes))
        ]
        title = written.title or written.id.replace("-", " ").capitalize()
        known[written.id] = Setup(
            written.id, written.station, title, tuple(values), written.minutes, written.prove, tuple(written.needs)
        )
    return tuple(known.values())


def set_value(written: SetupText, name: str, text: str, row: int, names: Names, notes: Notes) -> Figure | None:
    """One value of a setup."""
    return figure_of(text, names, ("setup", row, "set"), f"Setup {written.id}, {name}", notes)


def station_of(name: str, path: tuple[str | int, ...], notes: Notes) -> Station | None:
    """The station; None, and a finding, when there is none of that name."""
    try:
        return station_named(name)
    except Refused as error:
        notes.error("unknown-name", path, error.what, error.next_step)
        return None


def contents(parts: Sequence[Part], assemblies: Sequence[Assembly]) -> dict[str, tuple[str, ...]]:
    """For every part and assembly: itself and all that is joined in it, at any depth."""
    inside: dict[str, tuple[str, ...]] = {part.id: (part.id,) for part in parts}
    for assembly in assemblies:
        inside[assembly.id] = (assembly.id, *(one for joined in assembly.of for one in inside.get(joined, ())))
    return inside


def operation_of(step: Step, steps: Sequence[Step], kit: Kit) -> Operation:
    """One operation, without its holds and without the setting up that others save it."""
    written = kit.recipe.operation[step.row]
    path = ("operation", step.row)
    setup = kit.setups.get(written.setup or "")
    if written.setup and setup is None:
        known = ", ".join(sorted(kit.setups)) or "none yet"
        kit.notes.error(
            "unknown-name",
            (*path, "setup"),
            f"Operation {written.id} has the setup “{written.setup}”, which is not there.",
            f"Use one of: {known}.",
        )
    station_name = usual_station(written, setup)
    station = station_of(station_name, (*path, "station"), kit.notes)
    if setup is not None and setup.station != station_name:
        what = f"Operation {written.id} is at the {station_name}, its setup {setup.id} at the {setup.station}."
        kit.notes.error("other-station", (*path, "station"), what, "Name one station: leave it out here.")
    minutes = written.minutes if isinstance(written.minutes, MinutesText) else MinutesText(fixed=written.minutes)
    spread = (
        minutes_of(written.glue.spread, kit.names, (*path, "glue"), written.id, kit.notes) if written.glue else None
    )
    attended = minutes.fixed + minutes.each * max(1, len(step.parts)) if minutes.each else minutes.fixed
    change = minutes.setup if minutes.setup is not None else setup.minutes if setup else 0
    cautions = cautions_of(step, written, station, kit)
    measure = sizes_named(step, written.measure, "measure", kit)
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
        minutes=(attended or spread or 0) + change,
        setup_minutes=change,
        each_minutes=minutes.each,
        clocks=clocks_of(step, steps, written, kit),
        cautions=cautions,
        checks=tuple(written.check),
        needs=(*written.needs, *(setup.needs if setup else ())),
        measure=measure,
        sizes=sizes_named(step, written.show, "show", kit),
        glue=written.glue.with_ if written.glue else "",
        finish=written.coat.with_ if written.coat else "",
        spread_minutes=spread,
        clamps=dict(written.glue.clamps) if written.glue else {},
        stressed=written.glue.stressed if written.glue else False,
        breakable=written.breakable,
        step="glue-up" if written.glue else "coat" if written.coat else "dry-fit" if written.dry_fit else "work",
        line=kit.notes.lines.get(path, 0),
    )


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


def sizes_named(step: Step, wanted: Sequence[str], key: str, kit: Kit) -> tuple[str, ...]:
    """The named sizes an operation measures or shows; an unknown one is an error."""
    known = kit.recipe.size
    for name in wanted:
        if name not in known or (key == "measure" and isinstance(known[name], str)):
            what = f"Operation {kit.recipe.operation[step.row].id}: {key} names “{name}”, "
            what += "which has no `measure` text." if name in known else "which is no size here."
            kit.notes.error("unknown-name", ("operation", step.row, key), what, "Add it under [size].")
    return tuple(name for name in wanted if name in known)


def cautions_of(step: Step, written: OperationText, station: Station | None, kit: Kit) -> tuple[str, ...]:
    """The recipe's cautions and those of station, glue, finish and small parts; the manual first."""
    named = list(written.caution)
    if station is not None:
        named += station.cautions
        if any(is_too_small(station, kit.parts[part]) for part in step.parts if part in kit.parts):
            named.append("short-stock")
    if written.glue and (glue := glue_of(written.glue, kit.shop, ("operation", step.row, "glue"), kit.notes)):
        named += glue.cautions
    if written.coat and (finish := finish_of(written.coat, ("operation", step.row, "coat"), kit.notes)):
        named += finish.cautions
    for name in written.caution:
        try:
            caution_named(name)
        except Refused as error:
            kit.notes.error("unknown-name", ("operation", step.row, "caution"), error.what, error.next_step)
            named.remove(name)
    first = [name for name in named if name == MANUAL_FIRST]
    return tuple(dict.fromkeys([*first, *named]))


def is_too_small(station: Station, part: Part) -> bool:
    """Whether a part is under the station's usual least size."""
    return len(part.plan_mm) == 3 and bool(too_small(station, *part.plan_mm))


def clocks_of(step: Step, steps: Sequence[Step], written: OperationText, kit: Kit) -> tuple[ClockSpec, ...]:
    """The operation's clocks; a glue-up or a coat has its own and no `wait`."""
    path = ("operation", step.row, "wait")
    if written.wait and (written.glue or written.coat):
        key = "glue.rest" if written.glue else "coat.recoat"
        what = f"Operation {written.id} has a wait beside its {'glue' if written.glue else 'coat'}."
        kit.notes.error("wait-twice", path, what, f"Write it as {key}.")
    if written.glue:
        path = ("operation", step.row, "glue")
        glue = glue_of(written.glue, kit.shop, path, kit.notes)
        return glue_clocks(written.glue, written.id, path, glue, kit.shop, kit.names, kit.notes) if glue else ()
    if written.coat:
        path = ("operation", step.row, "coat")
        finish = finish_of(written.coat, path, kit.notes)
        later = steps[steps.index(step) + 1 :]
        is_last = not any(other.coat and touches(kit, other, step) for other in later)
        if finish is None:
            return ()
        return coat_clocks(written.coat, written.id, path, finish, is_last, kit.shop, kit.names, kit.notes)
    return wait_clocks(written, step.row, kit.names, kit.notes)


def touches(kit: Kit, later: Step, earlier: Step) -> bool:
    """Whether a later step works on something of an earlier one, perhaps joined since."""
    within = {one for part in later.parts for one in kit.inside.get(part, (part,))}
    return bool(within.intersection(earlier.parts)) or earlier.makes in within


def holds_of(step: Step, operations: Mapping[str, Operation], earlier: Sequence[Step], kit: Kit) -> tuple[Hold, ...]:
    """Clocks of earlier operations that must be over: a wait holds what comes next on its parts,
    a glue-up's rest every machine that touches the joint.
    """
    machine = station_is_machine(operations[step.id].station)
    found = []
    for other in earlier:
        before = operations[other.id]
        direct = other.id in step.after
        kinds = {clock.kind for clock in before.clocks}
        if before.step == "glue-up":
            if "rest" in kinds and machine and touches(kit, step, other):
                found.append(Hold(other.id, "rest"))
        elif direct:
            found += [Hold(other.id, kind) for kind in ("recoat", "rest") if kind in kinds]
    return tuple(found)


def station_is_machine(name: str) -> bool:
    """Whether work there loads a joint."""
    try:
        return station_named(name).kind == "machine"
    except Refused:
        return False
