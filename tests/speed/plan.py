"""Figures of planning, one `name: value` a line; the parts say what each means. --all: on all instances."""

import sys
from pathlib import Path

TESTS = Path(__file__).parents[1]
# In place of this folder, in which this very file would stand in the way of tests/plan.
sys.path[:1] = [str(TESTS), str(TESTS.parent / "backend")]

from speed import plan_craft, plan_crew, plan_j30, plan_odds, plan_phone, plan_report, plan_shop

PARTS = (plan_shop, plan_craft, plan_crew, plan_j30, plan_report, plan_phone, plan_odds)

if __name__ == "__main__":
    for part in PARTS:
        for name, value in part.figures("--all" in sys.argv):
            print(f"{name}: {value:.3f}", flush=True)
