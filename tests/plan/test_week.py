"""The advice of a whole week, as somebody who makes furniture has read it.

After a change that is meant: pytest tests/plan/test_week.py --write-golden, and read the difference aloud.
"""

from plan.week import Week
from shipped import ROOT

GOLDEN = ROOT / "tests/golden/week.txt"


def test_the_advice_is_the_one_that_was_read(request):
    advice = "\n".join(Week().advice()) + "\n"
    if request.config.getoption("--write-golden"):
        GOLDEN.write_text(advice, encoding="utf-8")

    assert GOLDEN.read_text(encoding="utf-8") == advice
