"""What runs already, and keeps a task: the work after which it rests, sets or dries."""

from collections.abc import Iterable, Mapping

from benchbell.plan.tasks.task import OpenBuild, Task, key_of, piece_of


def running_waits(tasks: Mapping[str, Task], builds: Iterable[OpenBuild]) -> dict[str, Task]:
    """By task whose operation a running clock holds back, the work that started the last of these clocks.

    tasks: by key, those still to be done.
    """
    found = {}
    for build in builds:
        ops = {op.id: op for op in build.sheet.operations}
        ends = {(clock.operation, clock.kind): clock.least for clock in build.running}
        for key, task in tasks.items():
            if task.build != build.id or task.act != "work":
                continue
            waits = [(ends.get((hold.operation, hold.clock)), hold.operation) for hold in task.operation.holds]
            known = [(least, operation) for least, operation in waits if least is not None]
            if known:
                op = ops[max(known)[1]]
                found[key] = Task(key_of(build.id, op.id), build.id, op, "work", 0, False, piece_of(build, op))
    return found
