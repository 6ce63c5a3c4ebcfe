import re

import pytest
from benchbell.findings import UnknownName
from benchbell.trade.cautions import caution_named, cautions
from benchbell.trade.finish import finishes
from benchbell.trade.glue import glues
from benchbell.trade.stations import stations


def test_no_caution_says_that_anything_is_safe():
    assert [c.id for c in cautions().values() if re.search(r"\bsafe(ly)?\b", c.text, re.IGNORECASE)] == []


def test_every_caution_is_used_somewhere():
    used = {name for rows in (glues(), finishes(), stations()) for row in rows.values() for name in row.cautions}

    assert set(cautions()) == used | {"short-stock", "lifting"}  # by the size and weight of parts


def test_oily_rags_go_into_a_closed_metal_can():
    # 29 CFR 1910.106(h)(8)(iii), 1910.125(e)(4); fire code 3304.2.
    assert "closed metal can" in caution_named("oily-rags").text


def test_an_unknown_caution_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r'No caution is called "oily rag". Did you mean oily-rags'):
        caution_named("oily rag")
