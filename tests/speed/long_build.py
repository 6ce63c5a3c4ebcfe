"""A build of 300 operations and a long history of it, for the figures."""

from benchbell.recipe.sheet import Assembly, ClockHold, ClockSpec, Operation, Part, Setup, Sheet
from benchbell.trade.figure_grid import figure_grid
from benchbell.trade.glue import glue_named

MINUTE = 60_000
GLUE = "pva-interior"
STEPS = ("cut", "plane", "taper", "mortise", "tenon", "rout", "sand", "dry-fit", "glue", "flush", "ease", "coat")
PIECES = tuple("ABCDEFGHIJKLMNOPQRSTUVWXY")


def long_sheet():
    """25 pieces of four parts in a frame, 12 operations each."""
    parts, assemblies, operations = [], [], []
    for piece in PIECES:
        own = [f"{piece}/{name}" for name in ("leg-1", "leg-2", "rail-1", "rail-2")]
        parts += [Part(id, piece, id[2:], id[2:], "ash", "solid", ((400.0,),), (400.0,)) for id in own]
        assemblies.append(Assembly(f"{piece}/frame", piece, "frame", "Frame", tuple(own), f"{piece}/glue"))
        for n, step in enumerate(STEPS):
            on = own if n <= STEPS.index("glue") else [f"{piece}/frame"]
            operations.append(operation(piece, n, step, on))
    setups = tuple(Setup(step, "table saw", step, (), 5.0) for step in STEPS[:6])
    figures = {GLUE: figure_grid(glue_named(GLUE))}
    return Sheet("long.toml", "Long", "", "mm", PIECES, (), tuple(parts), tuple(assemblies), setups,
                 tuple(operations), {}, figures, (), ())  # fmt: skip


def operation(piece, n, step, on):
    """One of a piece's twelve operations; the glue-up has its clocks, and holds what comes after."""
    clocks = (
        ClockSpec("open", "glue-on", ("clamped",), None, 8 * MINUTE, "", "open", GLUE),
        ClockSpec("squeeze-out", "clamped", ("pared",), 30 * MINUTE, 60 * MINUTE, ""),
        ClockSpec("in-clamps", "clamped", ("clamps-off",), 60 * MINUTE, None, "", "clamp", GLUE),
        ClockSpec("rest", "clamped", (), 720 * MINUTE, None, "", "machine", GLUE),
    )
    return Operation(
        f"{piece}/{step}", piece, step, step, (), "table saw", step if n < 6 else None, tuple(on),
        f"{piece}/frame" if step == "glue" else None, (f"{piece}/{STEPS[n - 1]}",) if n else (),
        (ClockHold(f"{piece}/glue", "rest"),) if step == "flush" else (), 12.0, 2.0, 2.5,
        clocks if step == "glue" else (), (), ("square", "flat"),
    )  # fmt: skip


def long_history(sheet, count):
    """So many happenings of a build, in order, as the page writes them: the operations in turn, over and over."""
    deeds = [deed for op in sheet.operations for deed in deeds_of(op)]
    return [
        {
            "id": f"00000000-0000-7000-8000-{n:012x}",
            "n": n + 1,
            "at": {"ms": 1_700_000_000_000 + n * 20_000, "counter": 0, "device": "ab"[n % 2] * 16},
            "build": "long",
            "about": [deed["operation"]],
            "what": deed,
        }
        for n, deed in zip(range(count), deeds * (count // len(deeds) + 1), strict=False)
    ]


def deeds_of(op):
    """What is recorded of an operation from beginning to end."""
    named = {"operation": op.id}
    glued = ("glue-on", "clamped", "pared", "clamps-off") if op.clocks else ()
    return [
        {"kind": "began", **named},
        *({"kind": "ticked", "part": part, **named} for part in op.parts),
        *({"kind": kind, **named} for kind in glued),
        *({"kind": "checked", "check": n, "good": True, **named} for n in range(2)),
        {"kind": "acknowledged", "ring": f"in-clamps|off|{len(op.id)}", **named},
        {"kind": "finished", **named},
    ]
