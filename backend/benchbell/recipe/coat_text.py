"""Coats of finish, as their maker wrote them: a part of the recipe's keys, see written.py."""

from typing import Annotated

from msgspec import Meta, Struct, field

from benchbell.recipe.text_types import MaybeFormula, Text, means, one_of


class CoatText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Coats of finish, each an operation of its own."""

    with_: Annotated[Text, one_of("finish"), means("the finish, by its name in the finishes' table")] = field(
        name="with"
    )
    coats: Annotated[int, Meta(ge=1, le=12), means("how many")] = 1
    recoat: Annotated[MaybeFormula, means("least wait before the next coat, in place of the finish's own")] = ""
    recoat_most: Annotated[MaybeFormula, means("longest wait before the next coat, in place of the finish's own")] = ""
