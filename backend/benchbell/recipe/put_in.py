"""What is put into a piece without glue and must move in it, as doors and drawers do, and where it has no room."""

import re
from collections.abc import Sequence

from msgspec import Struct

from benchbell.recipe.rule_context import RuleContext, short_id, text_of
from benchbell.recipe.sheet import Operation
from benchbell.recipe.solids.contacts import Contact
from benchbell.recipe.solids.vectors import bounds

HUNG = re.compile(r"\b(?:hing|hang|hung)", re.IGNORECASE)
"""Words of an operation that hangs a door, lid or flap."""

DRAWER = re.compile(r"\bdrawer", re.IGNORECASE)
"""Words of an operation or assembly that slides."""

ON_PINS = re.compile(r"\bshel(?:f|ves)\b.*\bon (?:\w+ ){0,3}(?:pins|pegs|supports|clips)\b", re.IGNORECASE)
"""Words of an operation that lays in a shelf which can be moved."""

RUNNER = re.compile(
    r"\b(?:runner|guide|slide|kicker|stop|bearer|hinge|knob|pull|catch|latch|pin|peg|clip|support)", re.IGNORECASE
)
"""Names of parts that may go into what moves."""

LET_IN = re.compile(r"\b(?:re(?:bate|bbet|cess)|rabbet|groove|notch|lips?\b|lipped|let in|overlap|step)", re.IGNORECASE)
"""Words of an operation that makes room for what is hung."""

LET_IN_MORE = re.compile(r"\b(?:re(?:bate|bbet|cess)|rabbet|notch|lips?\b|lipped|overlap)", re.IGNORECASE)
"""Words of work on parts of a door or drawer that makes room for it: a groove there is for its panel or bottom."""

LET_IN_ELSE = re.compile(r"\b(?:hinge|leaf|leaves|knob|catch|latch|lock|magnet|panel|pane|glass|bottom)", re.IGNORECASE)
"""What room is made for that is not the door itself: hardware, and what lies in the door or drawer."""

SENTENCE_END = re.compile(r"[.;](?:\s|$)")


class PutIn(Struct, frozen=True):
    """What an operation puts in. own, rest: the numbers of its parts and of those it goes into. id: its own.

    between: where both share room that no operation makes.
    """

    op: Operation
    id: str
    own: Sequence[int]
    between: Sequence[Contact]


def unfit(context: RuleContext) -> list[PutIn]:
    """The doors, lids, drawers and loose shelves that share room with what they go into, one for each operation."""
    found = []
    for op in context.first_piece:
        members = [context.laid_in(id) for id in op.parts]
        if not op.makes or op.glue or len(members) != 2 or not all(members):
            continue
        own, rest = smaller_first(members, context)
        drawer = len(members[own]) > 1 and DRAWER.search(f"{text_of(op)} {short_id(op.parts[own])}")
        if not (HUNG.search(text_of(op)) or ON_PINS.search(text_of(op)) or drawer):
            continue
        between = [
            one
            for number in members[own]
            for one in context.contacts_by_part[number]
            if one.rooms
            and one.other(number) in members[rest]
            and not any(RUNNER.search(context.laid[n].name) for n in (one.a, one.b))
        ]
        if between and not any(makes_room(earlier, op.parts[own], context) for earlier in context.first_piece):
            found.append(PutIn(op, op.parts[own], members[own], between))
    return found


def fitting_contacts(context: RuleContext) -> list[Contact]:
    """The contacts without those of parts that share room because a door or drawer does not fit."""
    in_the_way = {frozenset((one.a, one.b)) for found in unfit(context) for one in found.between}
    return [one for one in context.contacts if frozenset((one.a, one.b)) not in in_the_way]


def smaller_first(members: Sequence[Sequence[int]], context: RuleContext) -> tuple[int, int]:
    """Which of two members takes up less room, by its bounds, and the other; of equal ones the second comes first.

    A door of many parts is still smaller than a plain case.
    """
    first, second = (room_of(member, context) for member in members)
    return (0, 1) if first < second - 1 else (1, 0)


def room_of(member: Sequence[int], context: RuleContext) -> float:
    """How much room the bounds of some laid parts take up, in mm³."""
    low, high = bounds(point for n in member for point in (context.laid[n].low, context.laid[n].high))
    x, y, z = (b - a for a, b in zip(low, high, strict=True))
    return x * y * z


def makes_room(op: Operation, hung: str, context: RuleContext) -> bool:
    """Whether an operation makes room for what is hung: a sentence of it says so, and it works on it, or names it.

    A sentence that lets in hinges, a lock, a panel or glass makes room for these alone. Work on the parts of a door
    has room for the door only where it says more than a groove, which is for the panel.
    """
    word = re.compile(rf"\b{re.escape(short_id(hung).split('-')[0])}", re.IGNORECASE)
    texts = [one for text in (*op.do, *op.needs, *op.checks) for one in SENTENCE_END.split(text)]
    if {*context.contents.get(hung, ())} & set(op.parts) - {hung}:
        return any(LET_IN_MORE.search(text) and not LET_IN_ELSE.search(text) for text in (op.title, *texts))
    return any(
        LET_IN.search(text) and not LET_IN_ELSE.search(text) and (hung in op.parts or word.search(text))
        for text in (op.title, *(f"{op.title}: {one}" for one in texts))
    )
