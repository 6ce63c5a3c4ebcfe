"""The generated shops in tests/data/shop as problems, with the best known finish of each."""

import csv
import json
from pathlib import Path

from benchbell.plan.model.problem import Craft, Hold, Link, Op, Problem, Station, Window
from msgspec.structs import replace

FOLDER = Path(__file__).parents[1] / "data/shop"
NAMES = tuple(sorted(file.stem for file in FOLDER.glob("shop*.json")))


def shop_problem(name: str) -> Problem:
    """One of NAMES."""
    data = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return Problem(
        start=data["windows"][0][0],
        windows=tuple(Window(start, end) for start, end in data["windows"]),
        stations=tuple(map(station, data["machines"])),
        clamps={pool["id"]: pool["qty"] for pool in data["pools"]},
        ops=tuple(map(operation, data["ops"])),
        links=tuple(Link(link["from"], link["to"], link["min_lag"]) for link in data["links"]),
        holds=tuple(Hold(h["pool"], h["qty"], h["from_op"], h["to_op"]) for h in data["holds"]),
    )


def with_craft(problem):
    """The shop's work with something dusty, wet, fiddly or wanted soon in all of it."""
    ops = [replace(op, dusty=n % 3 == 0, wet=90 * (n % 5 == 0), fiddly=n % 7 == 0) for n, op in enumerate(problem.ops)]
    links = [replace(link, wanted=link.lag + 60) if n % 3 == 0 else link for n, link in enumerate(problem.links)]
    return replace(problem, ops=tuple(ops), links=tuple(links), craft=Craft(), wet_until=problem.start + 60)


def station(data: dict) -> Station:
    states = data["states"]
    rows = {a: dict(zip(states, row, strict=True)) for a, row in zip(states, data["setup_min"], strict=True)}
    return Station(data["id"], data["initial"], rows)


def operation(data: dict) -> Op:
    return Op(
        id=data["id"],
        minutes=data["work_min"],
        runs=data["run_min"],
        station=data["machine"] or "",
        setup=data["setup"] or "",
        piece=data["piece"],
    )


def best_known() -> dict[str, tuple[int, int]]:
    """Name to the best known finish and a proved lower bound, in minutes."""
    with (FOLDER / "best.csv").open(encoding="utf-8") as file:
        return {
            row["instance"]: (int(row["best_finish_min"]), int(row["lower_bound_min"])) for row in csv.DictReader(file)
        }


def found() -> dict[str, tuple[int, int]]:
    """Name to the finish and the setup changes of the best plan that a search here has found, the finish first."""
    with (FOLDER / "found.csv").open(encoding="utf-8") as file:
        return {row["instance"]: (int(row["finish_min"]), int(row["changes"])) for row in csv.DictReader(file)}
