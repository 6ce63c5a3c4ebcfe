"""Random sheets, and random histories of what was recorded over them: from a seed, so that one is quick to make.

Hypothesis draws the seed and the length; a failing case shrinks to the shortest history of its seed.
"""

import json
from random import Random

import msgspec
from benchbell.bench.happenings import What
from benchbell.recipe.sheet import Assembly, ClockHold, ClockSpec, Operation, Part, Setup, SetValue, Sheet, Size
from benchbell.store.envelopes import readable
from benchbell.trade.figure_grid import FigureGrid
from hypothesis import strategies as st
from msgspec import Struct
from msgspec.structs import fields

MINUTE = 60_000
DAY = 24 * 60 * MINUTE

# by kind of clock, the mark that starts it and marks that may end it
WAITS = {
    "squeeze-out": ("clamped", ("pared", "clamps-off")),
    "in-clamps": ("clamped", ("clamps-off",)),
    "rest": ("clamped", ()),
    "wipe-off": ("coat-on", ("wiped-off",)),
    "recoat": ("coat-on", ()),
    "cure": ("coat-on", ()),
    "rags": ("coat-on", ("rags-safe",)),
}
DEADLINES = {"open": ("glue-on", ("clamped",)), "pot": ("mixed", ("clamped", "finished"))}
FIGURES = ("open", "assembly", "pot", "clamp", "stressed_clamp", "machine")
KINDS = [kind.cls for kind in msgspec.inspect.type_info(What).types if kind.tag != "started"]
OFTEN = [kind for kind in KINDS if kind.__struct_config__.tag in {
    "began", "glue-on", "clamped", "clamps-off", "coat-on", "finished", "ticked", "undone", "spoiled", "remade",
    "acknowledged",
}]  # fmt: skip


class Build(Struct, frozen=True):
    """A sheet, what was recorded over it as JSON values, the beginning first, and the air: [ms, °C, percent]."""

    sheet: Sheet
    written: list[dict]
    air: list[list]


def builds(most=60):
    """Builds with histories of up to so many happenings."""
    return st.builds(random_build, st.integers(0, 2**32 - 1), st.integers(0, most))


def random_build(seed, length):
    """The build of a seed; a longer history begins like a shorter one."""
    sheet = random_sheet(Random(seed))
    return Build(sheet, random_history(Random(seed + 1), sheet, length), random_air(Random(seed + 2)))


def random_sheet(chance):
    """One to three pieces: parts, assemblies at two depths, operations with clocks and holds."""
    pieces = "ABC"[: chance.randint(1, 3)]
    grids = {name: random_grid(chance) for name in ("plain", "slow")[: chance.randint(0, 2)]}
    sizes = random_sizes(chance)
    names = [size.name for size in sizes]
    parts = [
        Part(f"{piece}/{name}", piece, name, name, "ash", "solid", (random_formula(chance, names),), (1.0,))
        for piece in pieces
        for name in ("leg", "rail", "top")[: chance.randint(1, 3)]
    ]
    operations = []
    for n in range(chance.randint(1, 6)):
        operations.append(random_operation(chance, n, parts, operations, sorted(grids), names))
    setups = tuple(
        Setup(name, station, name, (SetValue("stop", "length", random_formula(chance, names), 1.0),), 2.0)
        for name, station in (("fence-20", "table saw"), ("splay", "mitre saw"))
    )
    assemblies = random_assemblies(chance, pieces, parts, operations)
    return Sheet("r.toml", "R", "", "mm", tuple(pieces), sizes, tuple(parts), assemblies, setups, tuple(operations),
                 {}, grids, (), ())  # fmt: skip


def random_grid(chance):
    """A glue's figures over a few degrees; a row without figures is too cold."""
    degrees, bands = chance.randint(1, 4), chance.choice([(100,), (40, 100), (30, 60, 100)])

    def rows():
        return tuple(
            (None,) * len(bands) if chance.random() < 0.1 else tuple(chance.randint(0, 12 * 60) * MINUTE for _ in bands)
            for _ in range(degrees)
        )

    pot = rows() if chance.random() < 0.5 else None
    return FigureGrid(chance.randint(0, 20), bands, rows(), rows(), pot, rows(), rows(), rows())


def random_sizes(chance):
    """Sizes that use each other, in any order."""
    found = []
    for name in "pqrst"[: chance.randint(0, 5)]:
        formula = random_formula(chance, [size.name for size in found])
        within = chance.choice([None, 0.5, 2.0])
        least, most = (chance.choice([None, None, bound]) for bound in (-20.0, 20.0))
        plan, is_once = chance.uniform(-100, 100), chance.random() < 0.3
        found.append(Size(name, "length", formula, plan, "", within, is_once, least=least, most=most))
    chance.shuffle(found)
    return tuple(found)


def random_formula(chance, names):
    """A size, or a sum, difference, quotient or cosine of two."""
    a, b = (f"@{chance.choice(names)}" if names and chance.random() < 0.7 else 12.5 for _ in range(2))
    return chance.choice([(a,), (a, b, "+"), (a, b, "-"), (a, b, "/"), (a, "cos", b, "*")])


def random_operation(chance, n, parts, earlier, glues, sizes):
    """One operation on some parts, after some earlier ones, perhaps held by their clocks."""
    kinds = chance.sample([*WAITS, *DEADLINES], chance.randint(0, 4))
    specs = tuple(random_clock(chance, kind, glues) for kind in kinds)
    offered = [ClockHold(op.id, spec.kind) for op in earlier for spec in op.clocks]
    holds = tuple(chance.sample(offered, min(len(offered), chance.randint(0, 2))))
    after = tuple(op.id for op in chance.sample(earlier, min(len(earlier), chance.randint(0, 2))))
    on = tuple(part.id for part in chance.sample(parts, min(len(parts), chance.randint(0, 3))))
    measure = tuple(chance.sample(sizes, min(len(sizes), chance.randint(0, 2))))
    return Operation(f"op-{n}", "", f"op-{n}", f"Op {n}", (), "bench", None, on, None, after, holds,
                     5.0, 0.0, 0.0, specs, (), checks=("square", "flat"), measure=measure)  # fmt: skip


def random_clock(chance, kind, glues):
    """A clock of the kind, its times anywhere from none to three days."""
    is_wait = kind in WAITS
    starts, ends = (WAITS | DEADLINES)[kind]
    least = chance.choice([1, 30, 240, 4320]) * MINUTE if is_wait else None
    most = chance.choice([0, 3, 45, 1000]) * MINUTE if not is_wait or chance.random() < 0.4 else None
    figure = chance.choice(FIGURES) if glues and chance.random() < 0.6 else None
    glue = chance.choice(glues) if figure else ""
    return ClockSpec(kind, starts, ends, least, most, "a guess", figure, glue)


def random_assemblies(chance, pieces, parts, operations):
    """For some pieces a frame, and for some of those a stand that holds the frame."""
    found = []
    for piece in pieces:
        own = [part.id for part in parts if part.piece == piece]
        if chance.random() < 0.6:
            of = tuple(chance.sample(own, chance.randint(1, len(own))))
            found.append(Assembly(f"{piece}/frame", piece, "frame", "Frame", of, chance.choice(operations).id))
            if chance.random() < 0.5:
                by = chance.choice(operations).id
                found.append(Assembly(f"{piece}/stand", piece, "stand", "Stand", (f"{piece}/frame",), by))
    return tuple(found)


def random_history(chance, sheet, length):
    """The build's beginning and what follows, by three devices whose stamps come close."""
    beginning = {"kind": "started", "name": "R", "sheet": msgspec.to_builtins(sheet), "recipe": "", "codes": {}}
    written = [recorded("beginning", chance.randint(0, 5) * MINUTE, beginning)]
    for n in range(length):
        what = random_what(chance, sheet, [h["id"] for h in written])
        ms = chance.choice([chance.randint(0, 12), chance.randint(0, 90), chance.randint(0, 1440)]) * MINUTE
        device = "0" if what["kind"] == "clock-set" and chance.random() < 0.9 else chance.choice("abc")
        at = f"{chance.getrandbits(32):08x}-{n}", ms, what, chance.choice([0, 0, 1]), device
        written.append(recorded(*at, when=random_when(chance, ms)))
    return written


def random_when(chance, ms):
    """When something of this stamp was recorded: mostly then, on any setting of the server's clock, or not kept."""
    if chance.random() < 0.3:
        return None
    late = chance.choice([0, 0, 0, 1, chance.randint(0, 300)]) * MINUTE
    return {"ms": max(0, ms - late), "base": chance.choice([0, 0, 1, 2, 3, 4])}


def recorded(id, ms, what, counter=0, device="a", when=None):
    """A happening as JSON values."""
    at = {"ms": ms, "counter": counter, "device": device * 16}
    kept = {} if when is None else {"when": when}
    return {"id": id, "n": 1, "at": at, "build": "b", "about": [], "what": what, **kept}


def random_what(chance, sheet, ids):
    """Anything that can be recorded over a sheet, as the page may write it; now and then not of its form."""
    kind = chance.choice(chance.choice([KINDS, OFTEN, OFTEN]))
    what = {"kind": kind.__struct_config__.tag}
    for field in fields(kind):
        if field.required or chance.random() < 0.6:
            what[field.name] = random_value(chance, field, sheet, ids)
    if chance.random() < 0.02:
        what["kind"] = "sharpened"
    elif chance.random() < 0.06:
        strange = chance.choice([None, "so", 1.5, True, [], {}, {"a": "b"}])
        what[chance.choice([name for name in what if name != "kind"])] = strange
    return what


def random_value(chance, field, sheet, ids):
    """Something that a field of that name may hold."""
    if field.type is bool:
        return chance.random() < 0.5
    choices = {
        "operation": [*(op.id for op in sheet.operations), "op-0", "op-99"],
        "part": [*(one.id for one in (*sheet.parts, *sheet.assemblies)), "Z/none"],
        "clock": [*WAITS, *DEADLINES],
        "size": [*(size.name for size in sheet.sizes), "none"],
        "piece": ["", *sheet.pieces],
        "station": [setup.station for setup in sheet.setups],
        "setup": [setup.id for setup in sheet.setups],
        "check": [0, 1, 2],
        "by_ms": [n * MINUTE for n in (-10, 5, 60)],
        "base": [1, 2, 3, 4],
        "since": [0, 0, 1, 2, 3],
        "earlier_ms": [None, None, -60 * MINUTE, 5 * MINUTE],
        "happening": ids,
        "setting": ["units", "hours"],
        "bytes": [1, 2**40],
        "values": [{}, {"stop": 12.5}],
    }
    if field.name in choices:
        return chance.choice(choices[field.name])
    return {
        "ring": f"{chance.choice([*WAITS])}|off|{chance.randint(0, 90) * MINUTE}",
        "value": round(chance.uniform(-100, 100), chance.randint(0, 3)),
        "celsius": random_celsius(chance),
        "humidity": round(chance.uniform(0, 100), 1),
    }.get(field.name, chance.choice(["", "so"]))


def random_celsius(chance):
    """From frost to a hot attic, often a whole degree."""
    return float(chance.randint(-5, 50)) if chance.random() < 0.5 else round(chance.uniform(-5, 50), 1)


def random_air(chance):
    """Readings now and then over some days, earliest first."""
    taken = sorted(
        chance.choice([chance.randint(-DAY, 3 * DAY), chance.randint(0, 120) * MINUTE])
        for _ in range(chance.randint(0, 8))
    )
    return [[ms, random_celsius(chance), chance.choice([None, round(chance.uniform(0, 100), 1)])] for ms in taken]


def happenings_of(written):
    """The same, read by Python."""
    return [readable(json.dumps(one).encode()) for one in written]
