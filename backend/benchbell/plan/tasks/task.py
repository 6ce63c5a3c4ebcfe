"""Tasks: what is left of an operation for hands to do, given how far it is.

A glue-up is two tasks: gluing and clamping, then taking the clamps off; the time in clamps lies between the two. One
that takes no clamps is two as well, but when its glue has set there is no more to do than to see that it has.
"""

from math import ceil
from typing import Literal

from msgspec import Struct

from benchbell.bench.clocks import Clock
from benchbell.bench.state import Bench, OperationState
from benchbell.bench.unclamped import is_unclamped
from benchbell.recipe.sheet import ClockSpec, Operation, Sheet

Act = Literal["work", "clamps-off"]
"""Which task of its operation: the work itself, or taking the clamps off; without clamps, that its glue has set."""

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
    """An operation that cannot be planned, "" for the whole build. reason: a sentence, why, and what to do."""

    build: str
    operation: str
    reason: str


def not_planned(build: str) -> Unplanned:
    """A build of which the planner cannot make anything. The fault stands in the log of whoever met it."""
    return Unplanned(build, "", "It cannot be worked out: look into the server's log. All other builds are planned.")


def key_of(build: str, operation: str, act: Act = "work") -> str:
    """The task's name in the problem."""
    return f"{build}|{operation}|{act}"


def tasks_of(build: OpenBuild, op: Operation) -> list[Task]:
    """What is left of an operation, in the order in which it is done; empty when the operation is done."""
    state = build.bench.operations[op.id]
    if state.status == "done":
        return []
    piece = op.piece if len(build.sheet.pieces) > 1 else ""
    begun = state.status == "in-hand"
    work = Task(key_of(build.id, op.id), build.id, op, "work", minutes_left(op, state), begun, piece)
    if clock_spec(op, "in-clamps") is None:
        return [work]
    is_off = "clamps-off" in state.marks
    minutes = 1 if is_off else 0 if is_unclamped(op) else CLAMPS_OFF_MINUTES
    off = Task(key_of(build.id, op.id, "clamps-off"), build.id, op, "clamps-off", minutes, is_off, piece)
    return [off] if "clamped" in state.marks else [work, off]


def minutes_left(op: Operation, state: OperationState) -> int:
    """Attended minutes left, in proportion to the parts that are not done yet; at least 1."""
    work = op.minutes - (op.setup_minutes if op.setup else 0)
    share = len(state.left) / len(op.parts) if op.parts and state.status == "in-hand" else 1
    return max(1, ceil(work * share))


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
