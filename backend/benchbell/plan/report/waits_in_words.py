"""What happens while nobody works on it: glue sets, a coat dries, wood rests; and what tasks are called."""

from collections.abc import Mapping, Sequence

from benchbell.bench.unclamped import is_unclamped
from benchbell.plan.tasks.task import Task
from benchbell.recipe.sheet import Operation


def quiet(operation: Operation) -> str:
    """What goes on after the operation while nobody works on it, as "sets", "dries", "rests"."""
    if any(clock.kind == "in-clamps" for clock in operation.clocks):
        return "sets"
    return "dries" if operation.step == "coat" else "rests"


def goes_on(ops: Sequence[str], tasks: Mapping[str, Task]) -> str:
    """The same of several tasks, as "“Oil, coat 1” dries", "the glue of “Glue the frame” sets"."""
    verbs = {quiet(tasks[op].operation) for op in ops}
    named = titles(ops, tasks)
    if verbs == {"dries"}:
        return f"{named} {'dries' if len(ops) == 1 else 'dry'}"
    return f"the glue of {named} sets" if verbs == {"sets"} else f"the work rests after {named}"


def titles(ops: Sequence[str], tasks: Mapping[str, Task]) -> str:
    """As "“Oil, A” and “Oil, B”"."""
    named = [f"“{title(op, tasks)}”" for op in ops]
    return " and ".join(filter(None, (", ".join(named[:-1]), named[-1])))


def title(op: str, tasks: Mapping[str, Task]) -> str:
    """The task in words, with its piece."""
    task = tasks[op]
    acts = {
        "squeeze-out": ": squeeze-out",
        "clamps-off": ": glue set" if is_unclamped(task.operation) else ": clamps off",
    }
    words = task.operation.title + acts.get(task.act, "")
    return f"{words}, {task.piece}" if task.piece else words
