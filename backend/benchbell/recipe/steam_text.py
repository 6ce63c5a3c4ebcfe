"""Steam bending, as its maker wrote it: a part of the recipe's keys, see written.py."""

from typing import Annotated, Literal

from msgspec import Struct

from benchbell.recipe.text_types import MaybeFormula, means


class SteamText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Its parts go into the steam box. What works on them next bends them."""

    radius: Annotated[MaybeFormula, means("inside radius of the sharpest bend; left out: by the part's bow")] = ""
    thickness: Annotated[MaybeFormula, means("how thick it is when it is bent; left out: as the thickest part")] = ""
    strap: Annotated[bool, means("it is bent in a strap with end blocks, which take the stretch")] = False
    dried: Annotated[Literal["", "green", "air", "kiln"], means("how the wood was dried")] = ""
