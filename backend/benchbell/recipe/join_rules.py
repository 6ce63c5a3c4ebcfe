"""Rules about what an operation joins: it lies near, gets in and is held."""

import re
from collections.abc import Collection, Sequence

from benchbell.recipe.lies_rules import length_text
from benchbell.recipe.put_in import smaller_first
from benchbell.recipe.rule_context import RuleContext, short_id, text_of
from benchbell.recipe.sheet import Operation
from benchbell.recipe.solids.contacts import TOUCH_MM, Contact, overlap
from benchbell.recipe.solids.layout import LaidPart
from benchbell.recipe.solids.vectors import UNITS, Vec, dot, scaled
from benchbell.recipe.solids.way_out import directions_out

PLAY_MM = 10.0
"""The most play that doors, drawers and panels have. Common practice, no source."""

WALL_MM = 4.0
"""The least wall that stands beside a groove. Common practice, no source."""

TILT = 1e-6
"""A face is square to a direction when the cosine of its angle is this near 1."""

LEVEL: dict[Vec, str] = {
    (-1.0, 0.0, 0.0): "left", (1.0, 0.0, 0.0): "right", (0.0, -1.0, 0.0): "front", (0.0, 1.0, 0.0): "back"
}  # fmt: skip
"""The level directions along the axes of a piece, by the side at which something leaves."""

UP, DOWN = UNITS[2], scaled(UNITS[2], -1)

SLID_IN = re.compile(r"\b(?:slid|slip|tilt|spring|sprung|flex|bend|bent|feed|thread|turn)", re.IGNORECASE)
"""Words of an operation that brings a part to its place by another way than straight."""

FASTENED_BY = re.compile(
    r"\b(?:glu|screw|nail|pin|brad|stapl|tack|bolt|peg|dowel|wedg|button|clip|hing|hang|hung|bead|putty|point|sprig"
    r"|catch|magnet|latch|lock|snap|press|friction|tap|tie|lac|silicone|seal|epox|cement|plug|hook|strap|fasten|fix"
    r"|stop|slid|slip|spring|door|drawer|lid|shelf|shelves|tray|loose|remov|lift)",
    re.IGNORECASE,
)
"""Words of an operation that say how a part is held, or that it is not meant to be."""

OPEN_GROOVE = re.compile(r"\b(?:rabbet|rebate|bead|stop|ledge)", re.IGNORECASE)
"""Words of an operation that leaves a groove open to one side."""


def joins_are_near(context: RuleContext) -> None:
    """Rule: what an operation joins without glue lies no further apart than a door's play."""
    for op in context.first_piece:
        members = [context.laid_in(id) for id in op.parts]
        kinds = {context.laid[n].part for member in members for n in member}
        if op.glue or not op.makes or not all(members) or len(members) < 2 or len(kinds) < 2:
            continue
        together, rest = list(members[0]), list(range(1, len(members)))
        while near := [n for n in rest if distance(members[n], together, context) <= PLAY_MM]:
            together += [number for n in near for number in members[n]]
            rest = [n for n in rest if n not in near]
        if rest:
            far = length_text(distance(members[rest[0]], together, context), context)
            what = f"joins {short_id(op.parts[rest[0]])}, which lies {far} from the rest."
            context.warn("gap", op, what, "Correct how it lies, or its size.")


def distance(some: Sequence[int], others: Sequence[int], context: RuleContext) -> float:
    """How far some laid parts are from others, by the bounds of their solids, in mm."""
    here, there = ([solid for n in numbers for solid in context.laid[n].solids] for numbers in (some, others))
    return -max(overlap(a, b) for a in here for b in there)


def parts_get_in(context: RuleContext) -> None:
    """Rule: nothing is joined in between two parts that hold it from both sides and are joined already."""
    for op in context.first_piece:
        if not op.makes or SLID_IN.search(text_of(op)):
            continue
        pairs = ((id, into) for id in op.parts for into in op.parts if id != into)
        found = (shut_out(context.laid_in(id), set(context.laid_in(into)), context) for id, into in pairs)
        for numbers in (one for one in found if one and not is_let_in(one[0], op, context)):
            part, a, b = (context.laid[n].name for n in numbers)
            what = f"puts {part} between {a} and {b}, which hold it from both sides and are joined before it."
            context.warn("no-way-in", op, what, "Join all three at once, say how it slides in, or make it smaller.")
            break


def shut_out(own: Sequence[int], joined: Collection[int], context: RuleContext) -> tuple[int, int, int] | None:
    """A part that two joined ones hold from both sides, and these two; None where there is none."""
    for number in own:
        housed = [
            (one, other)
            for one in context.contacts_by_part[number]
            if one.rooms and (other := one.other(number)) in joined
            if not has_thin_wall(one, context.laid[other])
        ]
        only: dict[Vec, int] = {}
        for one, other in housed if len(housed) > 1 else ():
            way = only_way(one, number, context)
            if way and scaled(way, -1) in only:
                return number, only[scaled(way, -1)], other
            if way:
                only[way] = other
    return None


def is_let_in(number: int, op: Operation, context: RuleContext) -> bool:
    """Whether a part comes in through a rabbet, which is drawn as a groove: it is a pane, or a text names one."""
    part = next(one for one in context.recipe.part if one.id == context.laid[number].part)
    named = words_in(f"{part.id} {part.title}")
    texts = [text_of(op), *(text for text in map(text_of, context.first_piece) if named & words_in(text))]
    return part.material == "other" or any(OPEN_GROOVE.search(text) for text in texts)


def words_in(text: str) -> set[str]:
    """The words of a text with more than two letters."""
    return set(re.findall(r"[a-z]{3,}", text.lower()))


def only_way(contact: Contact, number: int, context: RuleContext) -> Vec | None:
    """The level direction in which a part leaves another, if it is the only one."""
    if any(directions_out(contact, context.laid, number, (way,)) for way in (UP, DOWN)):
        return None
    ways = directions_out(contact, context.laid, number, LEVEL)
    return ways[0] if len(ways) == 1 else None


def has_thin_wall(contact: Contact, part: LaidPart) -> bool:
    """Whether so little of a part stands beside a joint that it is a rabbet drawn as a groove."""
    walls = (wall for n in range(3) for wall in (contact.low[n] - part.low[n], part.high[n] - contact.high[n]))
    return any(TOUCH_MM < wall < WALL_MM for wall in walls)


def joins_hold(context: RuleContext) -> None:
    """Rule: what is joined without glue, screw or another word that holds it cannot simply fall or be drawn out."""
    for op in context.first_piece:
        members = [context.laid_in(id) for id in op.parts]
        if op.glue or not op.makes or not all(members) or len(members) != 2 or FASTENED_BY.search(text_of(op)):
            continue
        own, rest = smaller_first(members, context)
        touching = [
            (one, number)
            for number in members[own]
            for one in context.contacts_by_part[number]
            if one.other(number) in members[rest]
        ]
        enters = any(one.rooms for one, _ in touching)
        if not enters and not lies_in_recess(members[own], touching, context):
            continue
        for way, side in ({DOWN: "bottom", **LEVEL} if enters else LEVEL).items():
            if all(directions_out(one, context.laid, number, (way,)) for one, number in touching):
                name, into = short_id(op.parts[own]), short_id(op.parts[rest])
                what = f"puts {name} into {into} and names nothing that holds it: it comes out at the {side}."
                context.warn("loose", op, what, "Say what holds it: glue, screws, pins, a bead.")
                break


def lies_in_recess(own: Sequence[int], touching: Sequence[tuple[Contact, int]], context: RuleContext) -> bool:
    """Whether a single flat part fits exactly into a recess that is open to one level side alone, at a face of it, as a
    back in its rabbets, and no operation that names it holds it. touching: its contacts, and its number.
    """
    free = [way for way in LEVEL if all(directions_out(one, context.laid, number, (way,)) for one, number in touching)]
    if len(own) != 1 or len(free) != 1 or abs(dot(free[0], context.laid[own[0]].thick)) < 1 - TILT:
        return False
    part = next(one for one in context.recipe.part if one.id == context.laid[own[0]].part)
    named = words_in(f"{part.id} {part.title}")
    return not any(named & words_in(text) and FASTENED_BY.search(text) for text in map(text_of, context.first_piece))
