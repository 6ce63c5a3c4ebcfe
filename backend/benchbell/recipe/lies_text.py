"""How a part lies, as its maker wrote it: a part of the recipe's keys, see written.py."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from benchbell.recipe.placing import EdgeShape
from benchbell.recipe.text_types import Count, Formula, Maybe, MaybeFormula, Text, means

Place = Annotated[Text, Meta(extra={"role": "place"})]
Places = Place | Annotated[list[Place], Meta(min_length=1, max_length=50)]


class TenonText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Tenons at both ends. Their length is part of the part's."""

    long: Annotated[Formula, means("how long")]
    thick: Annotated[MaybeFormula, means("how thick; left out: as the part")] = ""
    wide: Annotated[MaybeFormula, means("how wide; left out: as the part")] = ""
    up: Annotated[MaybeFormula, means("how far along its width off the part's middle: up, back, right, or with -")] = ""
    end: Annotated[
        Literal["", "left", "right", "front", "back", "bottom", "top"], means("the one end that has a tenon")
    ] = ""


class OffText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is taken off an edge: a taper, a bevel, a mitre, a chamfer, a slanting end; or a rabbet or moulding."""

    edge: Annotated[Text, means('the two faces that meet there, such as "bottom right"')]
    x: Annotated[MaybeFormula, means("how far from the edge, to the left or right")] = ""
    y: Annotated[MaybeFormula, means("how far from the edge, to the front or back")] = ""
    z: Annotated[MaybeFormula, means("how far from the edge, up or down")] = ""
    shape: Annotated[
        EdgeShape,
        means("flat; a rabbet (square, as for a back or glass); a cove (hollow), ovolo (round) or ogee (both)"),
    ] = "flat"


class LeanText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How a part leans outwards downwards: its upper end stays, its ends stay level."""

    x: Annotated[MaybeFormula, means("seen from the front, from the vertical, an angle")] = ""
    y: Annotated[MaybeFormula, means("seen from the side, from the vertical, an angle")] = ""


class LiesText(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How the copies of a part lie in the finished piece: x to the right, y to the back, z up from the floor."""

    way: Annotated[
        Literal["xyz", "xzy", "yxz", "yzx", "zxy", "zyx"],
        means('axes of length, width and thickness: "zxy" stands, "xyz" lies flat, "xzy" stands on edge'),
    ]
    x: Annotated[Places | None, means("where from left to right; a list: one for each; left out: in the middle")] = None
    y: Annotated[Places | None, means("where from front to back; left out: in the middle")] = None
    z: Annotated[Places | None, means("how high; left out: on the floor")] = None
    copies: Annotated[Maybe, means('axes in which copies differ, fastest first: "y x"; or "around"')] = ""
    size: Annotated[
        Annotated[list[Formula], Meta(min_length=3, max_length=3)] | None,
        means("its finished size; left out: as it is cut"),
    ] = None
    count: Annotated[Count | None, means("how many there are in the finished piece; left out: as they are cut")] = None
    tenon: Annotated[TenonText | None, means("tenons at its ends")] = None
    off: Annotated[list[OffText], Meta(max_length=20), means("edges taken off")] = []
    lean: Annotated[LeanText | None, means("how it leans")] = None
    round: Annotated[MaybeFormula, means("it is round, and so thick at its lower, left or front end")] = ""
    bow: Annotated[MaybeFormula, means("it is bent: how much higher its ends stand than its middle, or - lower")] = ""
