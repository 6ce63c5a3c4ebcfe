"""A small build of our own in which every kind of clock runs, and a way to say what happens in it."""

from benchbell.bench.book import Book
from benchbell.bench.happenings import (
    SHOP,
    Clamped,
    ClampsOff,
    CoatOn,
    GlueOn,
    Happening,
    Stamp,
    Started,
)
from benchbell.durations import HOUR_MS, MINUTE_MS
from benchbell.recipe.sheet import ClockSpec, Operation, Sheet
from scene import NOON

BUILD = "01970000-0000-7000-8000-000000000001"
PHONE = "00000000000000a1"

GLUE = (
    ClockSpec("pot", "mixed", ("clamped",), None, 20 * MINUTE_MS, "from the recipe"),
    ClockSpec("open", "glue-on", ("clamped",), None, 10 * MINUTE_MS, "from the recipe"),
    ClockSpec("squeeze-out", "clamped", ("pared", "clamps-off"), 20 * MINUTE_MS, 40 * MINUTE_MS, "from the recipe"),
    ClockSpec("in-clamps", "clamped", ("clamps-off",), HOUR_MS, None, "from the recipe"),
    ClockSpec("rest", "clamped", (), 24 * HOUR_MS, None, "from the recipe"),
)
COAT = (
    ClockSpec("wipe-off", "coat-on", ("wiped-off",), 5 * MINUTE_MS, 20 * MINUTE_MS, "from the recipe"),
    ClockSpec("rags", "coat-on", ("rags-safe",), 20 * MINUTE_MS, None, "oily rags can catch fire by themselves"),
    ClockSpec("recoat", "coat-on", (), 12 * HOUR_MS, 72 * HOUR_MS, "from the recipe"),
    ClockSpec("cure", "coat-on", (), 14 * 24 * HOUR_MS, None, "from the recipe"),
)
CAUTIONS = {
    "clamps-pinch": "Clamps pinch: ease them off evenly.",
    "oily-rags": "Oily rags can catch fire by themselves.",
    "hands-clear": "Hands off the cutter.",
}


def operation(id, title, clocks, cautions):
    return Operation(
        id=id, piece="A", name=id, title=title, do=(), station="bench", setup=None, parts=(), makes=None, after=(),
        holds=(), minutes=1, setup_minutes=0, each_minutes=1, clocks=clocks, cautions=cautions,
    )  # fmt: skip


SHEET = Sheet(
    recipe="tray.toml", title="Tray", about="", units="mm", pieces=("A",), sizes=(), parts=(), assemblies=(), setups=(),
    operations=(
        operation("A/glue", "Glue the rim", GLUE, ("hands-clear", "clamps-pinch")),
        operation("A/oil", "Oil", COAT, ("oily-rags",)),
    ),
    cautions=CAUTIONS, figures={}, materials=(), hardware=(),
)  # fmt: skip
STARTED = Started("Tray, for the hall", SHEET, "", {})
GLUE_ON, CLAMPED, OFF = GlueOn("A/glue"), Clamped("A/glue"), ClampsOff("A/glue")
COATED = CoatOn("A/oil")


def happening(n, ms, what, build=BUILD, device=PHONE):
    """The n-th happening of the test."""
    return Happening(f"0197{n:04x}-0000-7000-8000-{device[:12]}", n, Stamp(ms, 0, device), build, (), what)


def happenings(*happened, build=BUILD):
    """(ms, what) each, in any order; the build has begun before all of them."""
    begun = [] if build == SHOP else [(min((ms for ms, _ in happened), default=NOON) - 1, STARTED)]
    return [happening(n, ms, what, build) for n, (ms, what) in enumerate([*begun, *happened], 1)]


def book(*happened):
    """A book in which these happened."""
    return Book(happenings(*happened))
