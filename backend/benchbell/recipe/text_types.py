"""What a text or number in a recipe may be: its length, its form, and what it stands for.

A type with a role stands for something in the recipe: see text_roles.py.
"""

from collections.abc import Iterable, Sequence
from typing import Annotated

from msgspec import Meta, Struct

from benchbell.recipe.warning_rules import WARNINGS
from benchbell.trade.names import choices


def means(what: str) -> Meta:
    """What a key means, for the JSON Schema."""
    return Meta(description=what)


Id = Annotated[str, Meta(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=40)]
Text = Annotated[str, Meta(min_length=1, max_length=400)]
Maybe = Annotated[str, Meta(max_length=400)]

OwnId = Annotated[Id, Meta(extra={"role": "name"})]
Name = Annotated[Text, Meta(extra={"role": "name"})]
Names = Annotated[list[Name], Meta(max_length=50)]
SizeName = Annotated[str, Meta(pattern=r"^[a-z][a-z0-9_]*$", max_length=40, extra={"role": "size"})]
Formula = Annotated[Text, Meta(extra={"role": "formula"})]
MaybeFormula = Annotated[Maybe, Meta(extra={"role": "formula"})]
Condition = Annotated[Text, Meta(extra={"role": "condition"})]
Conditions = Condition | Annotated[list[Condition], Meta(min_length=1, max_length=10)]

Count = Annotated[int, Meta(ge=1, le=200)]
Whole = Annotated[int, Meta(ge=0, le=100_000)]
Minutes = Annotated[float, Meta(ge=0, le=2880)]
Texts = Annotated[list[Text], Meta(max_length=50)]
Lines = Text | Annotated[list[Text], Meta(min_length=1, max_length=50)]


def one_of(kind: str) -> Meta:
    """The names of a table, as choices for the JSON Schema."""
    return Meta(extra_json_schema={"enum": choices(kind)})


def such_as(names: Iterable[str]) -> Meta:
    """Names that an editor may offer, where other texts are good too, for the JSON Schema."""
    return Meta(extra_json_schema={"examples": list(names)})


StationName = Annotated[Maybe, one_of("station")]
Reasons = Text | Annotated[dict[Name, Text], Meta(min_length=1, max_length=50)]
Accept = Annotated[
    dict[Annotated[str, such_as(WARNINGS)], Reasons],
    Meta(max_length=50),
    means("warnings that you know of and accept here: each rule's name = your reason, or a reason for each part"),
]
When = Annotated[Conditions | None, means("it is there only when this was chosen; of several all must hold")]


class MinutesText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Attended minutes by kind."""

    fixed: Annotated[Minutes, means("for any number of parts")] = 0
    setup: Annotated[Minutes | None, means("for setting up; left out: the setup's own")] = None
    each: Annotated[Minutes, means("for each part")] = 0


def minutes_by_kind(written: float | MinutesText) -> MinutesText:
    """Attended minutes by kind; a number is for any number of parts."""
    return written if isinstance(written, MinutesText) else MinutesText(fixed=written)


def lines_of(written: str | Sequence[str] | None) -> tuple[str, ...]:
    """The lines of a text or list of texts; none where nothing is written."""
    return (written,) if isinstance(written, str) else tuple(written or ())
