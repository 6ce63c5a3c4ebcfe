"""A data folder with the sample build in it, one part of it made again."""

from benchbell.bench.happenings import Remade, Spoiled, When
from benchbell.store.record_types import Entry
from benchbell.store.sqlite_records import ask_records
from labels.sample import STARTED

BUILD = "01936b00-0000-7000-8000-000000000001"
NEW_CODE = "0000005A"


def record_sample(folder):
    """Begin the build in the records there, spoil a leg and begin it again."""
    leg = ("A/leg-2",)
    entries = [
        Entry(BUILD, When(1_000_000), BUILD, (), STARTED),
        Entry("01936b00-0000-7000-8000-000000000101", When(1_000_001), BUILD, leg, Spoiled("A/leg-2")),
        Entry("01936b00-0000-7000-8000-000000000102", When(1_000_002), BUILD, leg, Remade("A/leg-2", NEW_CODE)),
    ]
    ask_records(folder, lambda records: records.record(entries))
