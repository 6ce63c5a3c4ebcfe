"""The usual cautions by id. They go with an operation and never replace the manual or the label."""

from functools import cache

from msgspec import Struct

from benchbell.trade.tables import Grade, named, read


class Caution(Struct, frozen=True, forbid_unknown_fields=True):
    """One caution. text: one or two sentences for the maker."""

    id: str
    text: str
    grade: Grade
    source: str


@cache
def cautions() -> dict[str, Caution]:
    """All cautions by id."""
    return read("cautions", Caution)


def caution_named(name: str) -> Caution:
    """The caution of that id. Raises UnknownName when there is none."""
    return named(cautions(), "caution", name)
