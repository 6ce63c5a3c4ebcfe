"""The generated shops in tests/data/shop as problems, with the best finish that is known of each."""

import csv
import json
from pathlib import Path

from benchbell.plan.model.problem import Hold, Link, Op, Problem, Station, Window

FOLDER = Path(__file__).parents[1] / "data/shop"
NAMES = tuple(sorted(file.stem for file in FOLDER.glob("shop*.json")))


def shop_problem(name: str) -> Problem:
    """One of NAMES."""
    told = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return Problem(
        start=told["windows"][0][0],
        windows=tuple(Window(start, end) for start, end in told["windows"]),
        stations=tuple(map(station, told["machines"])),
        clamps={pool["id"]: pool["qty"] for pool in told["pools"]},
        ops=tuple(map(operation, told["ops"])),
        links=tuple(Link(link["from"], link["to"], link["min_lag"]) for link in told["links"]),
        holds=tuple(Hold(h["pool"], h["qty"], h["from_op"], h["to_op"]) for h in told["holds"]),
    )


def station(told: dict) -> Station:
    states = told["states"]
    rows = {a: dict(zip(states, row, strict=True)) for a, row in zip(states, told["setup_min"], strict=True)}
    return Station(told["id"], told["initial"], rows)


def operation(told: dict) -> Op:
    return Op(
        id=told["id"],
        minutes=told["work_min"],
        runs=told["run_min"],
        station=told["machine"] or "",
        setup=told["setup"] or "",
        piece=told["piece"],
    )


def best_known() -> dict[str, tuple[int, int]]:
    """By name, the soonest finish that is known, and a bound below which there is none."""
    with (FOLDER / "best.csv").open(encoding="utf-8") as file:
        return {
            row["instance"]: (int(row["best_finish_min"]), int(row["lower_bound_min"])) for row in csv.DictReader(file)
        }
