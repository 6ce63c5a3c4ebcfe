"""A recipe as its maker wrote it: the keys of the TOML text, each with its meaning.

Sizes are texts with units, or formulas over named sizes ("38 mm", "height - 2 * rail"). The reader's checks and the
JSON Schema for editors (`benchbell check --schema`) are made from these structs.
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct, field

from benchbell.recipe.coat_text import Coating
from benchbell.recipe.glue_text import GlueText
from benchbell.recipe.lies_text import LiesText
from benchbell.recipe.sheet import Measure
from benchbell.recipe.steam_text import SteamText
from benchbell.recipe.text_types import (
    Accept,
    Count,
    Formula,
    Id,
    Lines,
    Maybe,
    MaybeFormula,
    Minutes,
    MinutesText,
    Name,
    Names,
    OwnId,
    SizeName,
    StationName,
    Text,
    Texts,
    When,
    Whole,
    means,
    one_of,
    such_as,
)
from benchbell.trade.names import choices
from benchbell.trade.places import Place
from benchbell.trade.pressings import Press
from benchbell.trade.timber import MaterialKind

MOST_ROWS = 500
"""The most parts, setups, operations or sizes of one recipe."""


class ChoiceText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is chosen when a build begins. The default's kind is the choice's: a size, a count, a yes or no, a text."""

    ask: Annotated[Text, means("the question to whoever begins a build")]
    default: Annotated[bool | Whole | Text, means("the answer where nobody chooses; it decides the kind")]
    least: Annotated[Whole | Maybe, means("the least size or count")] = ""
    most: Annotated[Whole | Maybe, means("the greatest size or count")] = ""
    step: Annotated[Whole | Maybe, means("sizes or counts go in such steps, from the least on")] = ""
    among: Annotated[
        list[Text],
        Meta(max_length=30),
        means("makes it one of these texts; a wood for a default is any wood without it"),
    ] = []


class UseText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Another recipe that becomes a part of this one, a fragment. Its operations stand where this stands among them."""

    fragment: Annotated[Id, means("its file's name, without .toml")]
    as_: Annotated[OwnId, means("stands in front of its ids, and with _ of its sizes")] = field(name="as")
    title: Annotated[Maybe, means("what {as} in its texts becomes; left out: the name in words")] = ""
    set: Annotated[
        dict[Annotated[str, Meta(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)], bool | Whole | Formula],
        Meta(max_length=50),
        means("its choices: a formula with this recipe's sizes, a number, true or false, a text"),
    ] = {}
    after: Annotated[
        Names | Annotated[dict[Id, Names], Meta(max_length=50)],
        means("operations that must be done before any of its own; or by operation of its own, those before that one"),
    ] = []
    when: When = None


class SizeText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A size that is measured at the bench and then replaces the drawing's."""

    plan: Annotated[Formula, means("the drawing's size: a measure or a formula")]
    measure: Annotated[Text, means("how to measure it at the bench")]
    within: Annotated[MaybeFormula, means("how far it may differ from the plan")] = ""
    least: Annotated[MaybeFormula, means("the least it may be: until then what comes after the measuring waits")] = ""
    most: Annotated[MaybeFormula, means("the most it may be, such as 9 %: until then what comes after waits")] = ""
    once: Annotated[bool, means("one size for the whole build, not one for each piece")] = False
    accept: Accept = {}


class MateText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Which end of a part meets what. The other part lists it too."""

    end: Annotated[Text, means("the end, face or joint of this part")]
    to: Annotated[Name, means("the part or assembly it meets")]
    at: Annotated[Maybe, means("where on that part or assembly")] = ""
    n: Annotated[Count | None, means("which copy of this part, from 1; left out: every copy")] = None


class OverText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How much is cut over size at first. Left out: what is usual for solid wood or sheet goods."""

    length: Annotated[MaybeFormula, means("over the finished length")] = ""
    width: Annotated[MaybeFormula, means("over the finished width")] = ""
    thickness: Annotated[MaybeFormula, means("over the finished thickness, when the stock is chosen")] = ""


class PartText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A part of one piece, in one or more copies: leg-1, leg-2 …"""

    id: Annotated[OwnId, means("its name in the recipe")]
    title: Annotated[Maybe, means("its name on labels; left out: the id in words")] = ""
    count: Annotated[Count, means("copies in each piece")] = 1
    stock: Annotated[Text, such_as(choices("wood")), means("what it is made of, such as a wood's name")]
    material: Annotated[MaterialKind, means("solid wood, sheet goods, leaves of veneer or something else")] = "solid"
    size: Annotated[
        list[Formula],
        Meta(min_length=1, max_length=3),
        means("lengths along the grain, across it, through the thickness"),
    ]
    grain: Annotated[Maybe, means("which grain to choose for it")] = ""
    place: Annotated[Maybe, means("where it goes in the piece")] = ""
    places: Annotated[Texts, means("where each copy goes, one text for each")] = []
    mark: Annotated[Maybe, means("its face and orientation marks")] = ""
    pair: Annotated[Literal["", "mirrored"], means("copies are left and right in turn, mirrored")] = ""
    mates: Annotated[list[MateText], Meta(max_length=50), means("what its ends meet")] = []
    over: Annotated[OverText, means("how much it is cut over size at first")] = OverText()
    note: Annotated[Maybe, means("what to know before it is cut, for the cutting list")] = ""
    board: Annotated[
        OwnId | None, means("the one board it is cut from, in the file's order, with all of that board")
    ] = None
    match: Annotated[
        Literal["", "sequence", "book"],
        means("how the parts of its board follow each other: in sequence, or opened like a book in pairs"),
    ] = ""
    edges: Annotated[Literal["", "one long", "two long", "all"], means("which edges are lipped")] = ""
    once: Annotated[bool, means("one for the whole build, such as a form or a story stick")] = False
    lies: Annotated[LiesText | None, means("how it lies in the finished piece; left out: it is not drawn")] = None
    accept: Accept = {}
    when: When = None


class SetupText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What a station is set to. Operations that name the same setup share it."""

    id: Annotated[OwnId, means("its name in the recipe")]
    station: Annotated[StationName, means("the machine or place, by its name in the stations' table")]
    title: Annotated[Maybe, means("its name to show; left out: the id in words")] = ""
    set: Annotated[
        dict[Text, Formula], Meta(max_length=50), means("each thing to set, and to what: a measure or formula")
    ] = {}
    minutes: Annotated[Minutes, means("minutes to change over to it")] = 5
    prove: Annotated[Maybe, means("what to cut in scrap first and how to judge it")] = ""
    needs: Annotated[Texts, means("bits, blades and jigs to have at hand")] = []
    accept: Accept = {}
    when: When = None


class FixtureText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A form, press, jig or sled that work stands in, made in this recipe or the shop's own."""

    id: Annotated[OwnId, means("its name in the recipe")]
    title: Annotated[Maybe, means("its name to show; left out: the id in words")] = ""
    about: Annotated[Maybe, means("what it is for, and how to set it up")] = ""
    made: Annotated[Names, means("the parts or assemblies of this recipe that it is: as many as they are")] = []
    owned: Annotated[Maybe, means("its name among the shop's fixtures, which all builds share")] = ""
    accept: Accept = {}
    when: When = None


class SharpenText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is sharpened after an operation, as the last thing of it."""

    edges: Annotated[list[Text], Meta(min_length=1, max_length=20), means("which edges")]
    minutes: Annotated[Minutes, means("minutes for all of them, besides the operation's own")]


class OperationText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One thing to do to some parts. Operations on the same part are done in the file's order."""

    id: Annotated[OwnId, means("its name in the recipe")]
    title: Annotated[Maybe, means("its name to show; left out: the id in words")] = ""
    do: Annotated[Lines, means("what to do: a text, or a list of steps")]
    parts: Annotated[
        list[Name], Meta(max_length=200), means("parts and assemblies it works on; leg is every leg, leg-2 is one")
    ] = []
    makes: Annotated[OwnId | None, means("the assembly its parts become")] = None
    place: Annotated[Maybe, means("where that assembly goes")] = ""
    station: Annotated[
        StationName, means("machine or place; left out: the setup's, or the usual one for such work")
    ] = ""
    setup: Annotated[OwnId | None, means("what the station is set to")] = None
    after: Annotated[Names, means("other operations that must be done first")] = []
    once: Annotated[bool, means("done once for all pieces of the build")] = False
    rough: Annotated[bool, means("cuts over size, so that planned sizes are good enough")] = False
    in_lengths: Annotated[
        MaybeFormula,
        means("its parts are worked in lengths of so much, and cut to length later: small parts count as that long"),
    ] = ""
    minutes: Annotated[Minutes | MinutesText, means("attended minutes")] = MinutesText()
    wait: Annotated[
        MaybeFormula, means("how long it then rests before the next operation; after the last of its coats")
    ] = ""
    wait_most: Annotated[MaybeFormula, means("how long it may rest at most")] = ""
    glue: Annotated[GlueText | None, means("makes it a glue-up")] = None
    coat: Annotated[Coating | None, means("makes it coats of finish, of one kind or of several in turn")] = None
    steam: Annotated[SteamText | None, means("makes it steam its parts, which the next operation on them bends")] = None
    press: Annotated[Press | None, means("how its veneer is pressed; left out: with cauls and its clamps")] = None
    dry_fit: Annotated[bool, means("it rehearses a glue-up without glue")] = False
    across: Annotated[
        Literal["", "fixed", "room to move"],
        means("how solid wood is held across its grain: fast, or with room to move"),
    ] = ""
    check: Annotated[Texts, means("what to look at before it counts as finished")] = []
    needs: Annotated[Texts, means("jigs, bits, cauls to have at hand")] = []
    fixtures: Annotated[
        dict[Name, Count],
        Meta(max_length=20),
        means("how many of each fixture it holds: until its clamps are off, or else while it is worked on"),
    ] = {}
    held_until: Annotated[OwnId | None, means("the later operation that frees its fixtures, in place of that")] = None
    caution: Annotated[
        list[Annotated[Text, one_of("caution")]],
        Meta(max_length=50),
        means("cautions besides those of station, glue, finish, short and heavy parts"),
    ] = []
    measure: Annotated[list[SizeName], Meta(max_length=50), means("named sizes measured here")] = []
    to_size: Annotated[
        list[Measure] | None,
        means("which sizes of its parts it makes; left out: those of its setup and those it shows"),
    ] = None
    show: Annotated[list[SizeName], Meta(max_length=50), means("named sizes to show here")] = []
    sharpen: Annotated[SharpenText | None, means("what is sharpened after it, as its last thing")] = None
    breakable: Annotated[bool, means("may be interrupted at closing time")] = False
    accept: Accept = {}
    when: When = None


class ItemText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Hardware, or a consumable."""

    name: Annotated[Text, means("what to have at hand")]
    count: Annotated[float, Meta(gt=0, le=100_000), means("how many for each piece")] = 1
    unit: Annotated[Maybe, means("its unit; left out: pieces")] = ""
    once: Annotated[bool, means("the count is for the whole build")] = False
    when: When = None


class Recipe(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How one piece is made."""

    title: Annotated[Text, means("its name")]
    about: Annotated[str, Meta(max_length=4000), means("what it is and for whom")] = ""
    units: Annotated[Literal["mm", "in"], means("how lengths are shown")] = "mm"
    lives: Annotated[Place, means("where the piece will live: glues and finishes are judged by it")] = "indoors"
    allowance: Annotated[float, Meta(ge=0, le=200), means("percent of stock added for what is cut away")] = 20
    over: Annotated[OverText, means("how much solid wood is cut over size at first")] = OverText()
    hangs: Annotated[bool, means("it hangs on a wall and stands on no floor")] = False
    size: Annotated[dict[SizeName, Formula | SizeText], Meta(max_length=MOST_ROWS), means("named sizes")] = {}
    choice: Annotated[
        dict[SizeName, ChoiceText], Meta(max_length=30), means("what is chosen when a build begins, by name")
    ] = {}
    use: Annotated[
        list[UseText], Meta(max_length=100), means("fragments: other recipes that become a part of this")
    ] = []
    part: Annotated[list[PartText], Meta(min_length=1, max_length=MOST_ROWS), means("parts")]
    setup: Annotated[list[SetupText], Meta(max_length=MOST_ROWS), means("setups")] = []
    fixture: Annotated[list[FixtureText], Meta(max_length=MOST_ROWS), means("fixtures")] = []
    operation: Annotated[list[OperationText], Meta(min_length=1, max_length=MOST_ROWS), means("operations, in order")]
    hardware: Annotated[list[ItemText], Meta(max_length=MOST_ROWS), means("what is bought and fitted")] = []
    consumable: Annotated[list[ItemText], Meta(max_length=MOST_ROWS), means("what is used up")] = []
    accept: Accept = {}
