"""What the plan counts on, and what it cannot plan yet: spoiled parts, and what waits for a measured size.

A spoiled part is planned to be made again at once, through all that it has been through, before what waits for it.
Nobody knows when wood is dry. So before it is measured the plan counts on it and says so; once it was measured out of
its bounds, what waits for it is left out.
"""

from collections.abc import Iterable, Mapping, Sequence

from benchbell.bench.measured import bounded_sizes, measure_again
from benchbell.plan.tasks.task import OpenBuild, Task, Unplanned, key_of
from benchbell.recipe.bounds import bounds_text
from benchbell.recipe.measure import dim_named, show
from benchbell.recipe.sheet import Operation, Size

NOT_BEGUN = ("waiting", "ready", "spoiled")

AGAIN = "make it again first."
"""What the plan counts on before it has work done on a spoiled part."""


def blocked_operations(build: OpenBuild) -> frozenset[str]:
    """What is to be measured again, and all that waits for it."""
    states = build.bench.operations
    held: set[str] = set()
    for op in build.sheet.operations:
        if states[op.id].to_measure or (
            states[op.id].status in NOT_BEGUN and any(before in held for before in op.after)
        ):
            held.add(op.id)
    return frozenset(held)


def reasons(build: OpenBuild) -> list[Unplanned]:
    """One reason for each operation that blocks itself and others."""
    bounded = bounded_sizes(build.sheet)
    return [
        Unplanned(build.id, op.id, again(build, op, bounded[name]))
        for op in build.sheet.operations
        for name in build.bench.operations[op.id].to_measure
    ]


def again(build: OpenBuild, op: Operation, size: Size) -> str:
    """Why an operation has to be done again, and what waits for it."""
    built = build.bench.as_built.get(f"{'' if size.once else op.piece}|{size.name}")
    value = built.value if built else None
    return (
        f"{measure_again(size, value, build.sheet.units)} What comes after it waits until it is {within(size, build)}."
    )


def gates_of(build: OpenBuild, tasks: Mapping[str, Task]) -> Iterable[tuple[str, str]]:
    """For each task that waits for what nobody can plan: its key, and a sentence that says what. tasks: by key."""
    bounded = bounded_sizes(build.sheet)
    measuring = {op.id: [bounded[name] for name in op.measure if name in bounded] for op in build.sheet.operations}
    titles = {part.id: part.title for part in build.sheet.parts} | {a.id: a.title for a in build.sheet.assemblies}
    states = build.bench.operations
    for op in build.sheet.operations:
        sizes = [size for before in op.after if states[before].status != "done" for size in measuring[before]]
        if key_of(build.id, op.id) not in tasks:
            continue
        if states[op.id].status == "spoiled" and all(states[before].status != "spoiled" for before in op.after):
            yield key_of(build.id, op.id), f"{', '.join(titles[one] for one in states[op.id].lost)} spoiled: {AGAIN}"
        elif sizes and states[op.id].status in NOT_BEGUN:
            yield key_of(build.id, op.id), gate_text(sizes, build)


def within(size: Size, build: OpenBuild) -> str:
    """The bounds of a size: "at most 9 %", "between 10 % and 14 %"."""
    if size.least is None or size.most is None:
        return bounds_text(size, build.sheet.units)
    dim = dim_named(size.dim)
    return f"between {show(size.least, dim, build.sheet.units)} and {show(size.most, dim, build.sheet.units)}"


def gate_text(sizes: Sequence[Size], build: OpenBuild) -> str:
    """A sentence for what waits for these sizes."""
    named = " and ".join(dict.fromkeys(f"{one.name.replace('_', ' ')} is {within(one, build)}" for one in sizes))
    return f"Only once {named}: the plan takes that for granted."
