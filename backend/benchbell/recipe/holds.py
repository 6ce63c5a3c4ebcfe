"""What has to be over before an operation may begin: a wait holds what comes next on its parts, a glue-up's rest
every machine that touches the joint. And which coat is the last.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from benchbell.findings import Refused
from benchbell.recipe.sheet import Assembly, Hold, Operation, Part
from benchbell.recipe.steps import Step
from benchbell.trade.stations import station_named

Inside = Mapping[str, tuple[str, ...]]
"""For every part and assembly: itself and all that is joined in it, at any depth."""


def contents(parts: Sequence[Part], assemblies: Sequence[Assembly]) -> Inside:
    """Inside, from the parts and assemblies; these stand in the order in which they are made."""
    inside: dict[str, tuple[str, ...]] = {part.id: (part.id,) for part in parts}
    for assembly in assemblies:
        inside[assembly.id] = (assembly.id, *(one for joined in assembly.of for one in inside.get(joined, ())))
    return inside


def within(ids: Sequence[str], inside: Inside) -> dict[str, None]:
    """Everything in some parts and assemblies, themselves too, each once and in order."""
    return dict.fromkeys(one for id in ids for one in inside.get(id, (id,)))


def last_coats(steps: Sequence[Step], inside: Inside) -> set[str]:
    """The coats after which nothing of theirs is coated again."""
    coated_later: set[str] = set()
    last: set[str] = set()
    for step in reversed(steps):
        if step.coat:
            if not coated_later.intersection((*step.parts, step.makes or "")):
                last.add(step.id)
            coated_later.update(within(step.parts, inside))
    return last


def all_holds(
    steps: Sequence[Step], operations: Mapping[str, Operation], inside: Inside
) -> dict[str, tuple[Hold, ...]]:
    """By operation: the clocks of earlier ones that must be over."""
    glued: dict[str, list[str]] = defaultdict(list)
    holds: dict[str, tuple[Hold, ...]] = {}
    for step in steps:
        touched = within(step.parts, inside)
        found = [hold for earlier in step.after for hold in waits_of(operations[earlier])]
        if is_machine(operations[step.id].station):
            found += [Hold(glue_up, "rest") for one in touched for glue_up in glued[one]]
        holds[step.id] = tuple(dict.fromkeys(found))
        if operations[step.id].step == "glue-up" and has_rest(operations[step.id]):
            for one in (*touched, *((step.makes,) if step.makes else ())):
                glued[one].append(step.id)
    return holds


def waits_of(earlier: Operation) -> list[Hold]:
    """What an operation that is no glue-up makes the next one wait for."""
    if earlier.step == "glue-up":
        return []
    kinds = [clock.kind for clock in earlier.clocks]
    return [Hold(earlier.id, kind) for kind in kinds if kind in ("recoat", "rest")]


def has_rest(glue_up: Operation) -> bool:
    """Whether its joint has to rest before a machine touches it."""
    return any(clock.kind == "rest" for clock in glue_up.clocks)


def is_machine(station: str) -> bool:
    """Whether work there loads a joint."""
    try:
        return station_named(station).kind == "machine"
    except Refused:
        return False
