"""Figures of planning, one `name: value` a line; the parts say what each means. --all: on all instances."""

import sys

import plan_j30
import plan_shop

PARTS = (plan_shop, plan_j30)

if __name__ == "__main__":
    for part in PARTS:
        for name, value in part.figures("--all" in sys.argv):
            print(f"{name}: {value:.3f}", flush=True)
