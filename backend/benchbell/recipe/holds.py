"""Holds: the clocks that must be over before an operation may begin, and which coats are the last of their parts or
faces.

A wait holds the next operations on its parts. The rest of a glue-up holds every machine operation on its joints, and on
a panel glued up of boards every tool that planes: joints swell with the glue's water, and planed too soon they sink. So
it is with veneer, which no finish may seal before it is dry either. What was bent opens until it has rested, and what
is measured of it sooner is cut to in vain; so with the faces of a panel and with veneer. A piece whose clamps are off
may be measured, as the opening of a carcase: its joints hold it as it is.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence

from benchbell.recipe.coats import overlap
from benchbell.recipe.sheet import Assembly, ClockHold, Operation, Part
from benchbell.recipe.steps import Step
from benchbell.trade.stations import stations

Contents = Mapping[str, tuple[str, ...]]
"""By id of a part or assembly: its own id and the ids of everything joined in it, at any depth."""


def contents_of(parts: Sequence[Part], assemblies: Sequence[Assembly]) -> Contents:
    """The contents of all parts and assemblies. assemblies: in the order in which they are made."""
    contents: dict[str, tuple[str, ...]] = {part.id: (part.id,) for part in parts}
    for assembly in assemblies:
        contents[assembly.id] = (assembly.id, *(one for joined in assembly.of for one in contents.get(joined, ())))
    return contents


def all_inside(ids: Sequence[str], contents: Contents) -> dict[str, None]:
    """The ids of everything in these parts and assemblies, their own included, each once and in order."""
    return dict.fromkeys(one for id in ids for one in contents.get(id, (id,)))


def last_coats(steps: Sequence[Step], contents: Contents) -> set[str]:
    """The ids of the coats after which none of their parts is coated again."""
    coated_later: set[str] = set()
    last: set[str] = set()
    for step in reversed(steps):
        if step.is_coat:
            if not coated_later.intersection((*step.parts, step.makes or "")):
                last.add(step.id)
            coated_later.update(all_inside(step.parts, contents))
    return last


def uncovered_coats(steps: Sequence[Step], contents: Contents) -> set[str]:
    """The ids of the coats on which nothing goes any more: none of their parts is coated later on the same face."""
    later: dict[str, set[str]] = defaultdict(set)
    found: set[str] = set()
    for step in reversed(steps):
        if step.coat and not step.sands:
            above = [face for id in (*step.parts, step.makes or "") for face in later[id]]
            if not any(overlap(step.coat.face, face) for face in above):
                found.add(step.id)
            for id in all_inside(step.parts, contents):
                later[id].add(step.coat.face)
    return found


def all_holds(
    steps: Sequence[Step], operations: Mapping[str, Operation], contents: Contents, wet: Collection[str]
) -> dict[str, tuple[ClockHold, ...]]:
    """By operation's id, its holds. wet: ids of the glue-ups that lay veneer with a glue that dries slowly."""
    by_id = {step.id: step for step in steps}
    glue_ups_by_part: dict[str, list[str]] = defaultdict(list)
    holds: dict[str, tuple[ClockHold, ...]] = {}
    for step in steps:
        touched = all_inside(step.parts, contents)
        before = [by_id[earlier] for earlier in step.after if not is_coat_before(by_id[earlier], step)]
        found = coat_holds(step, by_id, operations)
        found += [hold for earlier in before for hold in waits_of(operations[earlier.id])]
        by_machine, planes = is_machine(operations[step.id].station), planes_surface(operations[step.id].station)
        measures = bool(operations[step.id].measure)
        found += [
            ClockHold(glue_up, "rest")
            for one in touched
            for glue_up in glue_ups_by_part[one]
            if by_machine
            or (is_bent_by(operations[glue_up], step) and measures)
            or (is_panel_of(operations[glue_up], step) and (planes or measures))
            or (glue_up in wet and (planes or measures or step.coat))
        ]
        holds[step.id] = tuple(dict.fromkeys(found))
        if operations[step.id].step == "glue-up" and has_rest(operations[step.id]):
            for one in (*touched, *((step.makes,) if step.makes else ())):
                glue_ups_by_part[one].append(step.id)
    return holds


def is_coat_before(earlier: Step, step: Step) -> bool:
    """Whether a step is an earlier coat of the same operation, which holds by what lies under a coat."""
    return earlier.is_coat and earlier.row == step.row


def coat_holds(step: Step, by_id: Mapping[str, Step], operations: Mapping[str, Operation]) -> list[ClockHold]:
    """What holds a coat, or the sanding before it, within its operation.

    A coat that was sanded comes right after that, but for a window that ends. A piece that is turned over for it must
    be dry enough: the rest of the coat before, or its wait for the next coat where that says it too.
    """
    under = [(id, clock) for id in step.under for clock in operations[id].clocks if clock.kind == "recoat"]
    if step.coat and step.coat.sanded and not step.sands:
        under = [(id, clock) for id, clock in under if clock.most_ms is not None]
    found = [ClockHold(id, clock.kind) for id, clock in under]
    for earlier in (by_id[id] for id in step.after):
        if is_coat_before(earlier, step) and earlier.coat and earlier.coat.turned:
            found += [hold for hold in waits_of(operations[earlier.id]) if hold.clock == "rest"] or waits_of(
                operations[earlier.id]
            )
    return found


def are_copies(ids: Sequence[str]) -> bool:
    """Whether these are two or more copies of one part, A/board-1 and A/board-2: glued up, they are a panel."""
    stems = {stem if number.isdigit() else id for id in ids for stem, _, number in (id.rpartition("-"),)}
    return len(ids) > 1 and len(stems) == 1


def is_panel_of(glue_up: Operation, step: Step) -> bool:
    """Whether a step works on the very panel that a glue-up made, not on something that it went into."""
    return are_copies(glue_up.parts) and works_on_it(glue_up, step)


def is_bent_by(glue_up: Operation, step: Step) -> bool:
    """Whether a step works on the very thing that was glued bent, or under load, not on something it went into."""
    return glue_up.stressed and works_on_it(glue_up, step)


def works_on_it(glue_up: Operation, step: Step) -> bool:
    """Whether a step works on what a glue-up joined, or on the assembly that it made."""
    return bool({glue_up.makes, *glue_up.parts} & set(step.parts))


def waits_of(earlier: Operation) -> list[ClockHold]:
    """The holds that an operation puts on the next one; a glue-up puts none, since its rest holds by station."""
    if earlier.step == "glue-up":
        return []
    kinds = [clock.kind for clock in earlier.clocks]
    return [ClockHold(earlier.id, kind) for kind in kinds if kind in ("recoat", "rest")]


def has_rest(glue_up: Operation) -> bool:
    """Whether a glue-up has a rest before a machine may work on its joints."""
    return any(clock.kind == "rest" for clock in glue_up.clocks)


def is_machine(station: str) -> bool:
    """Whether a station is a machine, whose work loads a joint; False for an unknown station."""
    known = stations().get(station)
    return known is not None and known.kind == "machine"


def planes_surface(station: str) -> bool:
    """Whether work at a station takes a surface down; False for an unknown station."""
    known = stations().get(station)
    return known is not None and known.planes
