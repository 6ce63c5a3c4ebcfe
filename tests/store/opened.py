"""A database for the length of a test."""

import asyncio
from contextlib import asynccontextmanager

from benchbell.store.database import open_database


@asynccontextmanager
async def opened(folder):
    """The open records of this folder."""
    database = await open_database(folder)
    try:
        yield database
    finally:
        await database.close()


def kept(db):
    """Every happening there is, to the letter, in order of position."""
    return [body for (body,) in db.execute("SELECT body FROM happening ORDER BY position")]


def with_database(folder, work):
    """What the coroutine function `work` gives for the open records."""

    async def run():
        async with opened(folder) as database:
            return await work(database)

    return asyncio.run(run())
