"""What cannot be planned yet: work on spoiled parts, and what waits for a measured size to be within its bounds.

Nobody knows when wood is dry. So before it is measured the plan counts on it and says so; once it was measured out of
its bounds, what waits for it is left out.
"""

from collections.abc import Iterable, Mapping, Sequence

from benchbell.bench.measured import bounded_sizes, measure_again
from benchbell.plan.tasks.task import OpenBuild, Task, Unplanned, key_of
from benchbell.recipe.bounds import bounds_text
from benchbell.recipe.sheet import Operation, Size

NOT_BEGUN = ("waiting", "ready")


def blocked_operations(build: OpenBuild) -> frozenset[str]:
    """Operations on spoiled parts and all that comes after them; what is to be measured again and all that waits."""
    states = build.bench.operations
    spoiled: set[str] = set()
    held: set[str] = set()
    for op in build.sheet.operations:
        if states[op.id].status == "spoiled" or any(before in spoiled for before in op.after):
            spoiled.add(op.id)
        if states[op.id].to_measure or (
            states[op.id].status in NOT_BEGUN and any(before in held for before in op.after)
        ):
            held.add(op.id)
    return frozenset(spoiled | held)


def reasons(build: OpenBuild) -> list[Unplanned]:
    """One reason for each operation that blocks itself and others."""
    titles = {part.id: part.title for part in build.sheet.parts} | {a.id: a.title for a in build.sheet.assemblies}
    states, bounded = build.bench.operations, bounded_sizes(build.sheet)
    found = []
    for op in build.sheet.operations:
        if states[op.id].status == "spoiled":
            lost = ", ".join(titles.get(part, part) for part in states[op.id].lost)
            found.append(Unplanned(build.id, op.id, f"{lost} spoiled: make it again first."))
        for name in states[op.id].to_measure:
            found.append(Unplanned(build.id, op.id, again(build, op, bounded[name])))
    return found


def again(build: OpenBuild, op: Operation, size: Size) -> str:
    """Why an operation has to be done again, and what waits for it."""
    built = build.bench.as_built.get(f"{'' if size.once else op.piece}|{size.name}")
    value = built.value if built else None
    bounds = bounds_text(size, build.sheet.units)
    return f"{measure_again(size, value, build.sheet.units)} What comes after it waits until it is {bounds}."


def gates_of(build: OpenBuild, tasks: Mapping[str, Task]) -> Iterable[tuple[str, str]]:
    """For each task that comes next after a size with bounds is measured: its key, and a sentence that it waits."""
    bounded = bounded_sizes(build.sheet)
    measuring = {op.id: [bounded[name] for name in op.measure if name in bounded] for op in build.sheet.operations}
    states = build.bench.operations
    for op in build.sheet.operations:
        sizes = [size for before in op.after if states[before].status != "done" for size in measuring[before]]
        if sizes and key_of(build.id, op.id) in tasks and states[op.id].status in NOT_BEGUN:
            yield key_of(build.id, op.id), gate_text(sizes, build)


def gate_text(sizes: Sequence[Size], build: OpenBuild) -> str:
    """A sentence for what waits for these sizes."""
    units = build.sheet.units
    named = " and ".join(dict.fromkeys(f"{one.name.replace('_', ' ')} is {bounds_text(one, units)}" for one in sizes))
    return f"Only once {named}: the plan takes that for granted."
