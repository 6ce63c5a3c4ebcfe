"""What is written down of a build's stations: set up in what, or taken down. Twin: pwa/src/bench/stations.ts."""

from msgspec import Struct

from benchbell.bench.book import Book
from benchbell.bench.happenings import SetUp
from benchbell.recipe.sheet import Sheet


class Standing(Struct, frozen=True):
    """What a station stands in: the setup's id, values as set, whether proved on scrap, since when."""

    setup: str
    values: dict[str, float]
    proved: bool
    ms: int


def standing(book: Book, sheet: Sheet) -> dict[str, Standing]:
    """By station, the setup it was last put in, unless that was broken since."""
    stand = {}
    for station in stations_of(sheet):
        up, broken = book.latest("set-up", station), book.latest("setup-broken", station)
        if up is not None and isinstance(up.what, SetUp) and (broken is None or up.at > broken.at):
            stand[station] = Standing(up.what.setup, up.what.values, up.what.proved, book.moment(up).ms)
    return stand


def taken_down(book: Book, sheet: Sheet) -> dict[str, int]:
    """By station, when its setup was taken down, unless it was set up since."""
    down = {}
    for station in stations_of(sheet):
        up, broken = book.latest("set-up", station), book.latest("setup-broken", station)
        if broken is not None and (up is None or up.at <= broken.at):
            down[station] = book.moment(broken).ms
    return down


def stations_of(sheet: Sheet) -> list[str]:
    """The stations that have setups, in order."""
    return sorted({setup.station for setup in sheet.setups})
