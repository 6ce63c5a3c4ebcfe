"""Tasks: what is left of an operation for hands to do, given how far it is.

A glue-up is two tasks: gluing and clamping, then taking the clamps off; the time in clamps lies between the two. One
that takes no clamps is two as well, but when its glue has set there is no more to do than to see that it has. Where its
glue is cleaned off while it is rubbery, that is a task of its own between the two.
"""

from typing import Literal

from msgspec import Struct

from benchbell.bench.clocks import Clock
from benchbell.bench.state import Bench, OperationState
from benchbell.bench.unclamped import is_unclamped
from benchbell.recipe.sheet import ClockSpec, Operation, Sheet

Act = Literal["work", "squeeze-out", "clamps-off"]
"""Which task of its operation: the work itself, cleaning the squeeze-out off, or taking the clamps off; without clamps,
that its glue has set."""

SQUEEZE_OUT_MINUTES = 4
"""To lift the squeeze-out off one assembly while it is rubbery. Common practice, no source."""

CLAMPS_OFF_MINUTES = 5
"""To take the clamps off one assembly and put them away. Common practice, no source."""


class OpenBuild(Struct, frozen=True):
    """A build that is not finished. running: its clocks now. due: promised for, server time in ms. weight: 1 to 9."""

    id: str
    name: str
    sheet: Sheet
    bench: Bench
    running: tuple[Clock, ...] = ()
    due: int | None = None
    weight: int = 1


class Task(Struct, frozen=True):
    """One task that is still to be done. key: its name in the problem. minutes: attended, without setting up.

    begun: already begun. piece: the letter of its piece, "" where the build has only one.
    """

    key: str
    build: str
    operation: Operation
    act: Act
    minutes: int
    begun: bool
    piece: str = ""


class Unplanned(Struct, frozen=True):
    """An operation that cannot be planned, "" for the whole build. reason: a sentence, why, and what to do.

    after: the build's operation that cannot be planned and that it comes after; "" where it has a reason of its own.
    """

    build: str
    operation: str
    reason: str
    after: str = ""


def not_planned(build: str) -> Unplanned:
    """A build of which the planner cannot make anything. The fault stands in the log of whoever met it."""
    return Unplanned(build, "", "It cannot be worked out: look into the server's log. All other builds are planned.")


def key_of(build: str, operation: str, act: Act = "work") -> str:
    """The task's name in the problem."""
    return f"{build}|{operation}|{act}"


def tasks_of(build: OpenBuild, op: Operation, minutes: int) -> list[Task]:
    """What is left of an operation, in the order in which it is done; empty when the operation is done.

    minutes: attended, that its work still takes.
    """
    state = build.bench.operations[op.id]
    if state.status == "done":
        return []
    piece = piece_of(build, op)

    def task(act: Act, minutes: int, begun: bool = False) -> Task:
        return Task(key_of(build.id, op.id, act), build.id, op, act, minutes, begun, piece)

    work = task("work", minutes, state.status == "in-hand")
    if clock_spec(op, "in-clamps") is None:
        return [work]
    is_off = "clamps-off" in state.marks
    left = [] if "clamped" in state.marks else [work]
    if clock_spec(op, "squeeze-out") and not is_off and "pared" not in state.marks:
        left.append(task("squeeze-out", SQUEEZE_OUT_MINUTES))
    return [*left, task("clamps-off", 1 if is_off else 0 if is_unclamped(op) else CLAMPS_OFF_MINUTES, is_off)]


def piece_of(build: OpenBuild, op: Operation) -> str:
    """The letter of its piece, "" where the build has only one."""
    return op.piece if len(build.sheet.pieces) > 1 else ""


def clock_spec(op: Operation, kind: str) -> ClockSpec | None:
    """The operation's clock of a kind, if it has one."""
    return next((spec for spec in op.clocks if spec.kind == kind), None)


def has_started(spec: ClockSpec, state: OperationState) -> bool:
    """True if the clock has started, so that its own times count and no longer the plan's."""
    return spec.starts in state.marks


def clock_start_key(build: str, op: Operation, spec: ClockSpec) -> str:
    """The key of the task at whose end the clock starts."""
    is_glue_up = clock_spec(op, "in-clamps") is not None
    return key_of(build, op.id, "clamps-off" if is_glue_up and spec.starts in ("clamps-off", "finished") else "work")


def last_key(build: str, op: Operation) -> str:
    """The key of the task with which the operation is done."""
    return key_of(build, op.id, "work" if clock_spec(op, "in-clamps") is None else "clamps-off")
