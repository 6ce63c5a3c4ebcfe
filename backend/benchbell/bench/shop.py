"""What concerns the whole shop: its settings and the air at the bench. Twin: pwa/src/bench/shop.ts."""

from typing import Any

from msgspec import Struct

from benchbell.bench.air import Reading
from benchbell.bench.air import moment_of as moment_of_reading
from benchbell.bench.book import Book
from benchbell.bench.happenings import Conditions, Kept


class ShopState(Struct, frozen=True):
    """settings: by name, the value last kept. readings: earliest first."""

    settings: dict[str, Any]
    readings: tuple[Reading, ...]


def shop_of(book: Book) -> ShopState:
    """What the happenings of the build "" tell."""
    latest = [book.latest(*slot.split("|", 1)) for slot in book.by_slot if slot.startswith("kept|")]
    settings = {h.what.setting: h.what.value for h in latest if h is not None and isinstance(h.what, Kept)}
    readings = [
        Reading(book.moment(h).ms, h.what.celsius, h.what.humidity)
        for h in book.all("conditions")
        if isinstance(h.what, Conditions)
    ]
    return ShopState(settings, tuple(sorted(readings, key=moment_of_reading)))
