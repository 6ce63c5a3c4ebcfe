"""A glue-up, as its maker wrote it: a part of the recipe's keys, see written.py."""

from typing import Annotated

from msgspec import Meta, Struct, field

from benchbell.recipe.text_types import Count, Formula, MaybeFormula, Text, means, one_of


class JointText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Equal joints of one glue-up."""

    area: Annotated[Formula, means("glued face of one joint, an area")]
    count: Annotated[Count, means("how many of them")] = 1
    length: Annotated[
        MaybeFormula,
        means("length of a glue line that only clamps close: edges, faces, laminations; none for tenons and dovetails"),
    ] = ""
    depth: Annotated[
        MaybeFormula, means("from clamp or caul to the glue line; left out: the narrowest part's width")
    ] = ""


class GlueText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A glue-up. Times written here replace the glue's own and its label's."""

    with_: Annotated[Text, one_of("glue"), means("the glue, by its name in the glues' table")] = field(name="with")
    joints: Annotated[list[JointText], Meta(max_length=50), means("what is glued")] = []
    clamps: Annotated[
        dict[Annotated[Text, one_of("clamp")], Count], Meta(max_length=20), means("how many clamps of each kind")
    ] = {}
    spread: Annotated[Formula, means("time from first glue to clamps tight")]
    close: Annotated[MaybeFormula, means("how much of that closing and clamping takes; left out: half")] = ""
    stressed: Annotated[bool, means("bent work, or a joint under load as soon as the clamps are off")] = False
    open: Annotated[MaybeFormula, means("open time")] = ""
    pot: Annotated[MaybeFormula, means("pot life from mixing")] = ""
    clamp: Annotated[MaybeFormula, means("least time in clamps")] = ""
    rest: Annotated[MaybeFormula, means("least time from clamping until a machine may work on it")] = ""
