"""A build's book as its log needs it: its own happenings, and how the server's clock was set meanwhile."""

from benchbell.bench.book import Book
from benchbell.bench.happenings import SHOP
from benchbell.bench.server_clock import settings_of
from benchbell.store.records import Records


async def book_of_build(records: Records, build: str) -> Book:
    """The book; an empty one for a build that has no happenings. Raises StoreError."""
    book = Book(await records.happenings_of(build))
    book.know_settings(settings_of(await records.happenings_of(SHOP, ("clock-set",))))
    return book
