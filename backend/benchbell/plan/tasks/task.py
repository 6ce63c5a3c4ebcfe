"""From an operation and how far it is to what hands still have to do for it.

A glue-up is two acts: gluing and clamping, then taking the clamps off; its wait lies between them.
"""

from math import ceil

from msgspec import Struct

from benchbell.bench.clocks import Clock
from benchbell.bench.state import Bench, OperationState
from benchbell.plan.report.messages import Act
from benchbell.recipe.sheet import ClockSpec, Operation, Sheet

CLAMPS_OFF_MINUTES = 5
"""To take clamps off one assembly and put them away. Common practice, no source."""


class OpenBuild(Struct, frozen=True):
    """A build that goes on. running: its clocks now. due: promised by, server time in ms. weight: 1 to 9."""

    id: str
    name: str
    sheet: Sheet
    bench: Bench
    running: tuple[Clock, ...] = ()
    due: int | None = None
    weight: int = 1


class ToDo(Struct, frozen=True):
    """One act that is still to be done. minutes: attended, the station's setting up not among them.

    piece: its letter, "" where the build has only one.
    """

    key: str
    build: str
    operation: Operation
    act: Act
    minutes: int
    begun: bool
    piece: str = ""


def key_of(build: str, operation: str, act: Act = "work") -> str:
    """The act's name in the problem."""
    return f"{build}|{operation}|{act}"


def to_do(build: OpenBuild, op: Operation) -> list[ToDo]:
    """What is left of an operation, in order."""
    state = build.bench.operations[op.id]
    if state.status == "done":
        return []
    piece = op.piece if len(build.sheet.pieces) > 1 else ""
    begun = state.status == "in-hand"
    work = ToDo(key_of(build.id, op.id), build.id, op, "work", minutes_left(op, state), begun, piece)
    if wait_of(op, "in-clamps") is None:
        return [work]
    is_off = "clamps-off" in state.marks
    off = ToDo(
        key_of(build.id, op.id, "clamps-off"),
        build.id,
        op,
        "clamps-off",
        1 if is_off else CLAMPS_OFF_MINUTES,
        is_off,
        piece,
    )
    return [off] if "clamped" in state.marks else [work, off]


def minutes_left(op: Operation, state: OperationState) -> int:
    """Attended minutes still to go, by the parts that are not through yet; at least one."""
    work = op.minutes - (op.setup_minutes if op.setup else 0)
    share = len(state.left) / len(op.parts) if op.parts and state.status == "in-hand" else 1
    return max(1, ceil(work * share))


def wait_of(op: Operation, kind: str) -> ClockSpec | None:
    """The operation's clock of a kind."""
    return next((spec for spec in op.clocks if spec.kind == kind), None)


def is_under_way(spec: ClockSpec, state: OperationState) -> bool:
    """Whether the clock has started, so that its own moments count and no longer the plan's."""
    return spec.starts in state.marks


def anchor(build: str, op: Operation, spec: ClockSpec) -> str:
    """The act at whose end the clock starts."""
    is_glue_up = wait_of(op, "in-clamps") is not None
    return key_of(build, op.id, "clamps-off" if is_glue_up and spec.starts in ("clamps-off", "finished") else "work")


def last_key(build: str, op: Operation) -> str:
    """The act with which the operation is done."""
    return key_of(build, op.id, "work" if wait_of(op, "in-clamps") is None else "clamps-off")
