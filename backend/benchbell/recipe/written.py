"""A recipe as its maker wrote it: the keys of the TOML text, each with its meaning.

Sizes are texts with units, or formulas over named sizes ("38 mm", "height - 2 * rail"). The reader's checks and the
JSON Schema for editors (`benchbell check --schema`) are made from these structs.
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct, field

MOST_ROWS = 500
"""The most parts, setups, operations or sizes of one recipe."""


def means(what: str) -> Meta:
    """What a key means, for the JSON Schema."""
    return Meta(description=what)


Id = Annotated[str, Meta(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=40)]
SizeName = Annotated[str, Meta(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
Text = Annotated[str, Meta(min_length=1, max_length=400)]
Maybe = Annotated[str, Meta(max_length=400)]
Count = Annotated[int, Meta(ge=1, le=200)]
Minutes = Annotated[float, Meta(ge=0, le=2880)]
Texts = Annotated[list[Text], Meta(max_length=50)]
Lines = Text | Annotated[list[Text], Meta(min_length=1, max_length=50)]


class SizeText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A size that is measured at the bench and then replaces the drawing's."""

    plan: Annotated[Text, means("the drawing's size: a measure or a formula")]
    measure: Annotated[Text, means("how to measure it at the bench")]
    within: Annotated[Maybe, means("how far it may differ from the plan")] = ""
    once: Annotated[bool, means("one size for the whole build, not one for each piece")] = False


class MateText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Which end of a part meets what. The other part lists it too."""

    end: Annotated[Text, means("the end, face or joint of this part")]
    to: Annotated[Text, means("the part or assembly it meets")]
    at: Annotated[Maybe, means("where on that part or assembly")] = ""
    n: Annotated[Count | None, means("which copy of this part, from 1; left out: every copy")] = None


class PartText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A part of one piece, in one or more copies: leg-1, leg-2 …"""

    id: Annotated[Id, means("its name in the recipe")]
    title: Annotated[Maybe, means("its name on labels; left out: the id in words")] = ""
    count: Annotated[Count, means("copies in each piece")] = 1
    stock: Annotated[Text, means("what it is made of, such as a wood's name")]
    material: Annotated[Literal["solid", "sheet", "other"], means("solid wood, sheet goods or something else")] = (
        "solid"
    )
    size: Annotated[
        list[Text], Meta(min_length=1, max_length=3), means("lengths along the grain, across it, through the thickness")
    ]
    grain: Annotated[Maybe, means("which grain to choose for it")] = ""
    place: Annotated[Maybe, means("where it goes in the piece")] = ""
    places: Annotated[Texts, means("where each copy goes, one text for each")] = []
    mark: Annotated[Maybe, means("its face and orientation marks")] = ""
    pair: Annotated[Literal["", "mirrored"], means("copies are left and right in turn, mirrored")] = ""
    mates: Annotated[list[MateText], Meta(max_length=50), means("what its ends meet")] = []
    edges: Annotated[Literal["", "one long", "two long", "all"], means("which edges are lipped")] = ""
    once: Annotated[bool, means("one for the whole build, such as a form or a story stick")] = False


class SetupText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What a station is set to. Operations that name the same setup share it."""

    id: Annotated[Id, means("its name in the recipe")]
    station: Annotated[Text, means("the machine or place, by its name in the stations' table")]
    title: Annotated[Maybe, means("its name to show; left out: the id in words")] = ""
    set: Annotated[
        dict[Text, Text], Meta(max_length=50), means("each thing to set, and to what: a measure or formula")
    ] = {}
    minutes: Annotated[Minutes, means("minutes to change over to it")] = 5
    prove: Annotated[Maybe, means("what to cut in scrap first and how to judge it")] = ""
    needs: Annotated[Texts, means("bits, blades and jigs to have at hand")] = []


class FixtureText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A form, press, jig or sled that work stands in, made in this recipe or the shop's own."""

    id: Annotated[Id, means("its name in the recipe")]
    title: Annotated[Maybe, means("its name to show; left out: the id in words")] = ""
    about: Annotated[Maybe, means("what it is for, and how to set it up")] = ""
    made: Annotated[Texts, means("the parts or assemblies of this recipe that it is: as many as they are")] = []
    owned: Annotated[Maybe, means("its name among the shop's fixtures, which all builds share")] = ""


class MinutesText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Attended minutes by kind."""

    fixed: Annotated[Minutes, means("for any number of parts")] = 0
    setup: Annotated[Minutes | None, means("for setting up; left out: the setup's own")] = None
    each: Annotated[Minutes, means("for each part")] = 0


class JointText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Equal joints of one glue-up."""

    area: Annotated[Text, means("glued face of one joint, an area")]
    count: Annotated[Count, means("how many of them")] = 1
    length: Annotated[
        Maybe,
        means("length of a glue line that only clamps close: edges, faces, laminations; none for tenons and dovetails"),
    ] = ""
    depth: Annotated[Maybe, means("from clamp or caul to the glue line; left out: the narrowest part's width")] = ""


class GlueText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A glue-up. Times written here replace the glue's own and its label's."""

    with_: Annotated[Id, means("the glue, by its name in the glues' table")] = field(name="with")
    joints: Annotated[list[JointText], Meta(max_length=50), means("what is glued")] = []
    clamps: Annotated[dict[Text, Count], Meta(max_length=20), means("how many clamps of each kind")] = {}
    spread: Annotated[Text, means("time from first glue to clamps tight")]
    stressed: Annotated[bool, means("bent work, or a joint under load as soon as the clamps are off")] = False
    open: Annotated[Maybe, means("open time")] = ""
    pot: Annotated[Maybe, means("pot life from mixing")] = ""
    clamp: Annotated[Maybe, means("least time in clamps")] = ""
    rest: Annotated[Maybe, means("least time from clamping until a machine may work on it")] = ""


class CoatText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Coats of finish, each an operation of its own."""

    with_: Annotated[Id, means("the finish, by its name in the finishes' table")] = field(name="with")
    coats: Annotated[int, Meta(ge=1, le=12), means("how many")] = 1
    recoat: Annotated[Maybe, means("least wait before the next coat, in place of the finish's own")] = ""
    recoat_most: Annotated[Maybe, means("longest wait before the next coat, in place of the finish's own")] = ""


class OperationText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One thing to do to some parts. Operations on the same part are done in the file's order."""

    id: Annotated[Id, means("its name in the recipe")]
    title: Annotated[Maybe, means("its name to show; left out: the id in words")] = ""
    do: Annotated[Lines, means("what to do: a text, or a list of steps")]
    parts: Annotated[
        list[Text], Meta(max_length=200), means("parts and assemblies it works on; leg is every leg, leg-2 is one")
    ] = []
    makes: Annotated[Id | None, means("the assembly its parts become")] = None
    place: Annotated[Maybe, means("where that assembly goes")] = ""
    station: Annotated[Maybe, means("machine or place; left out: the setup's, or the usual one for such work")] = ""
    setup: Annotated[Id | None, means("what the station is set to")] = None
    after: Annotated[Texts, means("other operations that must be done first")] = []
    once: Annotated[bool, means("done once for all pieces of the build")] = False
    rough: Annotated[bool, means("cuts over size, so that planned sizes are good enough")] = False
    minutes: Annotated[Minutes | MinutesText, means("attended minutes")] = MinutesText()
    wait: Annotated[Maybe, means("how long it then rests before the next operation")] = ""
    wait_most: Annotated[Maybe, means("how long it may rest at most")] = ""
    glue: Annotated[GlueText | None, means("makes it a glue-up")] = None
    coat: Annotated[CoatText | None, means("makes it a coat of finish")] = None
    dry_fit: Annotated[bool, means("it rehearses a glue-up without glue")] = False
    across: Annotated[
        Literal["", "fixed", "room to move"],
        means("how solid wood is held across its grain: fast, or with room to move"),
    ] = ""
    check: Annotated[Texts, means("what to look at before it counts as finished")] = []
    needs: Annotated[Texts, means("jigs, bits, cauls to have at hand")] = []
    fixtures: Annotated[
        dict[Text, Count],
        Meta(max_length=20),
        means("how many of each fixture it holds: until its clamps are off, or else while it is worked on"),
    ] = {}
    held_until: Annotated[Id | None, means("the later operation that frees its fixtures, in place of that")] = None
    caution: Annotated[Texts, means("cautions besides those of station, glue, finish and small parts")] = []
    measure: Annotated[list[SizeName], Meta(max_length=50), means("named sizes measured here")] = []
    show: Annotated[list[SizeName], Meta(max_length=50), means("named sizes to show here")] = []
    breakable: Annotated[bool, means("may be interrupted at closing time")] = False


class ItemText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Hardware, or a consumable."""

    name: Annotated[Text, means("what to have at hand")]
    count: Annotated[float, Meta(gt=0, le=100_000), means("how many for each piece")] = 1
    unit: Annotated[Maybe, means("its unit; left out: pieces")] = ""
    once: Annotated[bool, means("the count is for the whole build")] = False


class Recipe(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How one piece is made."""

    title: Annotated[Text, means("its name")]
    about: Annotated[str, Meta(max_length=4000), means("what it is and for whom")] = ""
    units: Annotated[Literal["mm", "in"], means("how lengths are shown")] = "mm"
    allowance: Annotated[float, Meta(ge=0, le=200), means("percent of stock added for what is cut away")] = 20
    size: Annotated[dict[SizeName, Text | SizeText], Meta(max_length=MOST_ROWS), means("named sizes")] = {}
    part: Annotated[list[PartText], Meta(min_length=1, max_length=MOST_ROWS), means("parts")]
    setup: Annotated[list[SetupText], Meta(max_length=MOST_ROWS), means("setups")] = []
    fixture: Annotated[list[FixtureText], Meta(max_length=MOST_ROWS), means("fixtures")] = []
    operation: Annotated[list[OperationText], Meta(min_length=1, max_length=MOST_ROWS), means("operations, in order")]
    hardware: Annotated[list[ItemText], Meta(max_length=MOST_ROWS), means("what is bought and fitted")] = []
    consumable: Annotated[list[ItemText], Meta(max_length=MOST_ROWS), means("what is used up")] = []
