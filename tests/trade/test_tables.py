import tomllib
from pathlib import Path
from typing import get_args

import benchbell.trade.tables
import pytest
from benchbell.findings import UnknownName
from benchbell.trade.tables import Grade, named

FILES = sorted(Path(benchbell.trade.tables.__file__).parent.glob("*.toml"))
ROWS = [(file.stem, key, row) for file in FILES for key, row in tomllib.loads(file.read_text("utf-8")).items()]


def test_the_tables_are_there():
    assert {"cautions", "finishes", "glues", "stations"} <= {file.stem for file in FILES}


@pytest.mark.parametrize(("table", "key", "row"), ROWS, ids=[f"{table}: {key}" for table, key, _ in ROWS])
def test_every_row_has_its_grade_and_source(table, key, row):
    assert row["grade"] in get_args(Grade)
    assert len(row["source"]) > 8


def test_when_no_name_is_near_all_are_told():
    with pytest.raises(UnknownName, match=r'No thing is called "zzz". Use one of: one; two.'):
        named({"one": 1, "two": 2}, "thing", "zzz")
