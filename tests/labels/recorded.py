"""A data folder with the sample build in it, one part of it made again."""

import asyncio
from functools import partial

from benchbell.bench.happenings import Remade, Spoiled
from benchbell.store.database import open_database
from benchbell.store.happenings import record
from labels.sample import STARTED

BUILD = "01936b00-0000-7000-8000-000000000001"
NEW_CODE = "0000005A"


def record_sample(folder):
    """Begin the build in the records there, spoil a leg and begin it again."""
    asyncio.run(recorded(folder))


async def recorded(folder):
    database = await open_database(folder)
    happenings = [(BUILD, STARTED), (None, Spoiled("A/leg-2")), (None, Remade("A/leg-2", NEW_CODE))]
    for number, (id, what) in enumerate(happenings):
        about = () if id else ("A/leg-2",)
        id = id or f"01936b00-0000-7000-8000-0000000001{number:02d}"
        await database.write(partial(record, build=BUILD, now_ms=1_000_000 + number, id=id, about=about, what=what))
    await database.close()
