"""A small build, worked: a stool's two parts glued, one of them spoiled and made again. Invented."""

from benchbell.bench.book import Book
from benchbell.bench.happenings import (
    Began,
    Clamped,
    ClampsOff,
    Finished,
    GlueOn,
    Happening,
    Measured,
    Noted,
    Remade,
    SetUp,
    Spoiled,
    Stamp,
    Started,
    Undone,
    What,
)
from benchbell.recipe.compiler import compile_text

PHONE = "00000000000000a1"
START = 1_790_000_000_000
MINUTE = 60_000

RECIPE = """
title = "Step stool"

[size]
top = { plan = "300 mm", measure = "Measure the opening.", within = "1 mm" }

[[part]]
id = "side"
count = 2
stock = "red oak"
size = ["400 mm", "300 mm", "20 mm"]

[[setup]]
id = "dado"
station = "table saw"
set = { "blade height" = "8 mm" }
prove = "Try a scrap."

[[operation]]
id = "groove"
parts = ["side"]
setup = "dado"
do = "Groove both sides."
minutes = { each = 3 }
measure = ["top"]

[[operation]]
id = "fit"
parts = ["side"]
dry_fit = true
do = "Try it dry."
minutes = 5

[[operation]]
id = "glue"
parts = ["side"]
makes = "stool"
do = "Glue it."
glue = { with = "pva-interior", spread = "3 min" }
minutes = 10
"""

SHEET = compile_text(RECIPE, "stool.toml", 1)
CODES = {"A/side-1": "AAAAAAAA", "A/side-2": "BBBBBBBB", "A/stool": "CCCCCCCC"}

HAPPENED: tuple[tuple[int, What], ...] = (
    (0, Started("Stool <b>one</b>", SHEET, RECIPE, CODES)),
    (5, Began("A/groove")),
    (6, SetUp("dado", "table saw", {"blade height": 8.2}, True)),
    (12, Measured("top", "A", 298.5)),
    (20, Finished("A/groove")),
    (21, Spoiled("A/side-1", "split")),
    (22, Remade("A/side-1", "DDDDDDDD")),
    (30, Began("A/groove")),
    (40, Finished("A/groove")),
    (41, Began("A/fit")),
    (42, Noted("=HYPERLINK(1)")),
    (45, Finished("A/fit")),
    (50, Began("A/glue")),
    (52, GlueOn("A/glue", 20.0, 45.0)),
    (55, Clamped("A/glue")),
    (85, ClampsOff("A/glue", "needed the clamps")),
    (90, Finished("A/glue")),
)


def worked(*, but_not: tuple[type, ...] = ()) -> Book:
    """The build's book; kinds in `but_not` were never recorded."""
    book = Book()
    for n, (minute, what) in enumerate(HAPPENED, 1):
        if not isinstance(what, but_not):
            book.add(happening(n, minute, what))
    return book


def happening(n: int, minute: int, what: What) -> Happening:
    """One happening of the phone."""
    return Happening(f"id-{n}", n, Stamp(START + minute * MINUTE, 0, PHONE), "stool", (), what)


def undoing(book: Book, n: int) -> Book:
    """The same, with the n-th happening undone."""
    book.add(happening(99, 99, Undone(f"id-{n}")))
    return book
