"""Coats of finish, as their maker wrote them: a part of the recipe's keys, see written.py."""

from typing import Annotated

from msgspec import Meta, Struct, field

from benchbell.recipe.text_types import Lines, Maybe, MaybeFormula, Minutes, MinutesText, Text, means, one_of


class CoatText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Coats of one finish, each an operation of its own. A list of such tables is worked in turn."""

    with_: Annotated[Text, one_of("finish"), means("the finish, by its name in the finishes' table")] = field(
        name="with"
    )
    coats: Annotated[int, Meta(ge=1, le=12), means("how many, on each face")] = 1
    recoat: Annotated[MaybeFormula, means("least wait before the next coat, in place of the finish's own")] = ""
    recoat_most: Annotated[MaybeFormula, means("longest wait before the next coat, in place of the finish's own")] = ""
    sand: Annotated[
        Maybe, means("how it is sanded before each of them that follows another coat: an operation of its own")
    ] = ""
    sand_minutes: Annotated[Minutes | MinutesText, means("attended minutes of each sanding")] = MinutesText()
    faces: Annotated[
        list[Text],
        Meta(max_length=6),
        means("faces that are finished one after the other: all coats of one, then it is turned over"),
    ] = []
    turn: Annotated[
        MaybeFormula, means("least wait before it is turned to another face; left out: as before the next coat")
    ] = ""
    do: Annotated[Lines | None, means("what to do at these coats, after what the operation says")] = None
    minutes: Annotated[
        Minutes | MinutesText | None, means("attended minutes of each coat; left out: the operation's")
    ] = None


Coating = CoatText | Annotated[list[CoatText], Meta(min_length=1, max_length=12)]
"""One finish, or several that follow each other."""
