"""How a coat, and the sanding before it, differ from the other steps of their operation: title, words, minutes."""

from msgspec.structs import replace

from benchbell.findings import Refused
from benchbell.recipe.coats import Coat, coats_of, tables_of
from benchbell.recipe.sheet import Operation
from benchbell.recipe.text_types import MinutesText, lines_of, minutes_by_kind
from benchbell.recipe.written import OperationText
from benchbell.trade.finish import finish_named
from benchbell.trade.stations import stations

SANDING = "sanding"
"""The station of what is sanded between coats."""


def as_coat(op: Operation, coat: Coat, written: OperationText) -> Operation:
    """The operation of a coat, made from what its operation as written has in common."""
    table = tables_of(written)[coat.table]
    count = f", coat {coat.nth} of {coat.of}" if coat.of > 1 else ""
    op = replace(op, title=f"{op.title}{place_of(coat, written)}{count}", do=(*op.do, *lines_of(table.do)))
    if table.minutes is None:
        return op
    own = minutes_by_kind(table.minutes)
    change = op.setup_minutes if own.setup is None else own.setup
    return with_minutes(op, own, change)


def as_sanding(op: Operation, coat: Coat, written: OperationText) -> Operation:
    """The operation of sanding what a coat goes on, made from what its operation as written has in common."""
    table = tables_of(written)[coat.table]
    own = minutes_by_kind(table.sand_minutes)
    under = coats_of(written)[coat.under[0] - 1]
    sanding = replace(
        op,
        title=f"{op.title}{face_text(coat)}: sand between coats, after {coat_text(under, written)}",
        do=(table.sand,),
        station=SANDING,
        setup=None,
        cautions=stations()[SANDING].cautions,
        checks=(),
        needs=(),
        measure=(),
        sizes=(),
    )
    return with_minutes(sanding, own, own.setup or 0)


def with_minutes(op: Operation, own: MinutesText, change: float) -> Operation:
    """The operation with minutes of its own. change: minutes to set up."""
    attended = own.fixed + own.each * max(1, len(op.parts))
    return replace(op, minutes=attended + change, setup_minutes=change, each_minutes=own.each)


def place_of(coat: Coat, written: OperationText) -> str:
    """Which face and which finish, to follow the operation's title; a finish only where there are several."""
    return face_text(coat) + (f": {finish_text(coat.finish)}" if has_several(written) else "")


def face_text(coat: Coat) -> str:
    """Which face, to follow the operation's title."""
    return f", {coat.face}" if coat.face else ""


def coat_text(coat: Coat, written: OperationText) -> str:
    """A coat in words, to follow "after": coat 2, coat 2 of shellac, the shellac."""
    if not has_several(written):
        return f"coat {coat.nth}"
    finish = finish_text(coat.finish)
    return f"coat {coat.nth} of {finish}" if coat.of > 1 else f"the {finish}"


def has_several(written: OperationText) -> bool:
    """Whether an operation has coats of different finishes."""
    return len({table.with_ for table in tables_of(written)}) > 1


def finish_text(name: str) -> str:
    """A finish in a few words: the beginning of its title."""
    try:
        title = finish_named(name).title.partition(",")[0]
    except Refused:
        return name.replace("-", " ")
    return title[0].lower() + title[1:]
