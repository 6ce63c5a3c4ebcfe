"""The stores that the acceptance suite is run against."""

import asyncio
from functools import partial

import pytest
from benchbell.store.sqlite_records import ask_records
from store.memory_records import MemoryRecords


def in_memory(tmp_path_factory):
    records = MemoryRecords()
    return lambda question: asyncio.run(question(records))


def in_sqlite(tmp_path_factory):
    """Opens the file for every question, so that whatever one leaves for the next is on disk."""
    return partial(ask_records, tmp_path_factory.mktemp("records"))


STORES = {"sqlite": in_sqlite, "memory": in_memory}


@pytest.fixture(params=STORES)
def new_store(request, tmp_path_factory):
    """Makes an empty store; gives what asks it: `ask(question)` for a coroutine function of its `Records`."""
    return partial(STORES[request.param], tmp_path_factory)


@pytest.fixture
def ask(new_store):
    return new_store()
