"""What a build takes, as it stands on the sheet: its stock, its cutting list, its hardware."""

from msgspec import Struct

from benchbell.trade.timber import MaterialKind


def veneer_name(stock: str) -> str:
    """A stock of veneer by a name that says so: "black walnut veneer"."""
    return stock if "veneer" in stock.casefold() else f"{stock} veneer"


class Material(Struct, frozen=True):
    """One row of the cut summary: how much of a stock the build takes, with the allowance.

    amount: in unit, "board feet", "m²" or "mm"; solid wood counts at the thickness of the boards that are bought,
    veneer with the trim of its leaves.
    cubic_m: the same as a volume. parts: how many parts are made of it. resawn: the amount of solid wood where boards
    for thin parts are resawn; 0 for other stock.
    """

    stock: str
    material: MaterialKind
    amount: float
    unit: str
    cubic_m: float
    parts: int
    allowance_percent: float
    resawn: float = 0


class CutListRow(Struct, frozen=True):
    """One row of the cutting list: the copies of one part in all pieces. of: their ids.

    part: its name in the recipe. finished_mm: planned length, width and thickness. rough_mm: length and width to cut
    first. bought: the thickness as it is sold, such as "8/4"; bought_mm: that thickness, or the finished one.
    note: what else to know before cutting. trimmed_mm: its size in the finished piece where that is another,
    trimmed_count: how many there are then, in all pieces. strip_mm: how much strip all parts of its width and thickness
    take; 0: they are cut singly.
    """

    part: str
    title: str
    of: tuple[str, ...]
    stock: str
    material: MaterialKind
    finished_mm: tuple[float, ...]
    rough_mm: tuple[float, ...]
    bought: str
    bought_mm: float
    grain: str = ""
    note: str = ""
    trimmed_mm: tuple[float, ...] = ()
    trimmed_count: int = 0
    strip_mm: float = 0


class Item(Struct, frozen=True):
    """Hardware or a consumable. count: for the whole build."""

    name: str
    count: float
    unit: str = ""
