"""A recipe as its maker wrote it: the shape of the TOML text.

Sizes are texts with units or formulas over named sizes ("38 mm", "height - 2 * rail"). From these structs come
the checks on reading and the JSON Schema for editors (`benchbell check --schema`).
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct, field

Id = Annotated[
    str, Meta(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=40, description="small letters, digits, hyphens")
]
Text = Annotated[str, Meta(max_length=400)]
Count = Annotated[int, Meta(ge=1, le=200)]
Minutes = Annotated[float, Meta(ge=0, le=2880)]
Lines = Text | list[Text]


class SizeText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A size taken at the bench. plan: the drawing's; measure: how to take it; within: how far it may be off."""

    plan: Text
    measure: Text = ""
    within: Text = ""
    once: bool = False


class MateText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Which end of which copy meets what. n: the copy, from 1; left out: every copy."""

    end: Text
    to: Text
    at: Text = ""
    n: Count | None = None


class PartText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A part. size: along the grain, width, thickness. places: one for each copy. pair: "mirrored" makes a left
    and a right one in turn. edges: which are lipped. once: one for the whole build (a jig, a story stick).
    """

    id: Id
    title: Text = ""
    count: Count = 1
    stock: Text
    material: Literal["solid", "sheet", "other"] = "solid"
    size: Annotated[list[Text], Meta(min_length=1, max_length=3)]
    grain: Text = ""
    place: Text = ""
    places: list[Text] = []
    mark: Text = ""
    pair: Literal["", "mirrored"] = ""
    mates: list[MateText] = []
    edges: Literal["", "one long", "two long", "all"] = ""
    once: bool = False


class SetupText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What a station is set to. minutes: to change over to it."""

    id: Id
    station: Text
    title: Text = ""
    set: dict[Text, Text] = {}
    minutes: Minutes = 5
    prove: Text = ""
    needs: list[Text] = []


class MinutesText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Attended minutes: fixed, for setting up, for each part."""

    fixed: Minutes = 0
    setup: Minutes | None = None
    each: Minutes = 0


class JointText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Joints alike. area: glued face of one."""

    area: Text
    count: Count = 1


class GlueText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A glue-up. spread: from first glue to clamps tight. stressed: bent work, or a joint under load.

    clamp, rest, open: times that stand in place of the glue's own, such as the container's.
    """

    with_: Id = field(name="with")
    joints: list[JointText] = []
    clamps: dict[Text, Count] = {}
    spread: Text
    stressed: bool = False
    open: Text = ""
    clamp: Text = ""
    rest: Text = ""


class CoatText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Coats of finish, one operation each. recoat: a wait in place of the finish's own."""

    with_: Id = field(name="with")
    coats: Annotated[int, Meta(ge=1, le=12)] = 1
    recoat: Text = ""


class OperationText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One thing to do. wait: how long it then has to rest, unattended; wait_most: at most.

    dry_fit: this rehearses a glue-up. across: a panel or top held across its grain, with "fixed" or "room to move".
    """

    id: Id
    title: Text = ""
    do: Lines
    parts: list[Text] = []
    makes: Id | None = None
    station: Text = ""
    setup: Id | None = None
    after: list[Text] = []
    once: bool = False
    minutes: Minutes | MinutesText = MinutesText()
    wait: Text = ""
    wait_most: Text = ""
    glue: GlueText | None = None
    coat: CoatText | None = None
    dry_fit: bool = False
    across: Literal["", "fixed", "room to move"] = ""
    check: list[Text] = []
    needs: list[Text] = []
    caution: list[Text] = []
    measure: list[Text] = []
    show: list[Text] = []
    breakable: bool = False
    place: Text = ""


class ItemText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Hardware, or something used up. count: for each piece."""

    name: Text
    count: Annotated[float, Meta(gt=0)] = 1
    unit: Text = ""
    once: bool = False


class Recipe(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How one piece is made. allowance: percent of stock added for what is cut away."""

    title: Text
    about: Annotated[str, Meta(max_length=4000)] = ""
    units: Literal["mm", "in"] = "mm"
    allowance: Annotated[float, Meta(ge=0, le=200)] = 20
    size: dict[Annotated[str, Meta(pattern=r"^[a-z][a-z0-9_]*$")], Text | SizeText] = {}
    part: Annotated[list[PartText], Meta(min_length=1)]
    setup: list[SetupText] = []
    operation: Annotated[list[OperationText], Meta(min_length=1)]
    hardware: list[ItemText] = []
    consumable: list[ItemText] = []
