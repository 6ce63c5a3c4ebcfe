"""PSPLIB's instances of 30 activities as projects, with their proved optimum."""

import csv
import tarfile
from pathlib import Path

from benchbell.plan.crew.project import Activity, Project

DATA = Path(__file__).parents[1] / "data/psplib"


def instances(stride: int = 1) -> dict[str, tuple[Project, int]]:
    """Name to project and optimum. stride: take every so many of them, in the order of the numbers in their names."""
    least = optima()
    with tarfile.open(DATA / "j30.tar.gz") as archive:
        texts = {
            Path(member.name).stem: archive.extractfile(member).read().decode() for member in archive if member.isfile()
        }
    names = sorted(texts, key=lambda name: [int(n) for n in name.split("_")[1:]])
    return {name: (read(texts[name]), least[name]) for name in names[::stride]}


def optima() -> dict[str, int]:
    """Instance to its proved optimum."""
    with (DATA / "j30-optima.csv").open(encoding="utf-8") as file:
        return {row["instance"]: int(row["best"]) for row in csv.DictReader(file) if row["proven"] == "1"}


def read(text: str) -> Project:
    """A project from the Patterson format, which lists successors."""
    numbers = map(int, text.split())
    count, resources = next(numbers), next(numbers)
    capacities = tuple(next(numbers) for _ in range(resources))
    minutes, needs = [], []
    after: list[list[int]] = [[] for _ in range(count)]
    for one in range(count):
        minutes.append(next(numbers))
        needs.append(tuple(next(numbers) for _ in range(resources)))
        for _ in range(next(numbers)):
            after[next(numbers) - 1].append(one)
    return Project(capacities, tuple(Activity(*row) for row in zip(minutes, needs, map(tuple, after), strict=True)))
