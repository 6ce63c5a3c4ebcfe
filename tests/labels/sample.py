"""A small build of our own: a plant stand in two pieces, with everything a label can say."""

from benchbell.bench.happenings import Started
from benchbell.recipe.label_code import new_code
from benchbell.recipe.sheet import Assembly, Mate, Operation, Part, Setup, SetValue, Sheet

HOST = "BENCH.LOCAL:8443"


def leg(piece, number):
    mates = (
        Mate("top end", f"{piece}/seat", "front left corner"),
        Mate("A", f"{piece}/stretcher"),
    )
    id = f"{piece}/leg-{number}"
    return Part(
        id, piece, "leg", f"Leg {number}", "white ash", "solid", (), (), place="front left", mark="outside", mates=mates
    )


def plain_part(piece, name, title, *mates):
    return Part(f"{piece}/{name}", piece, name, title, "white ash", "solid", (), (), mates=mates)


def operation(id, station, **more):
    return Operation(
        id=id, piece="", name=id, title=id, do=(), station=station, setup=None, parts=(), makes=None, after=(),
        holds=(), minutes=1, setup_minutes=0, each_minutes=1, clocks=(), cautions=(), **more,
    )  # fmt: skip


PARTS = tuple(
    part
    for piece in "AB"
    for part in (
        *(leg(piece, number) for number in (1, 2, 3)),
        plain_part(piece, "stretcher", "Stretcher", *(Mate("", f"{piece}/leg-{n}", "A") for n in (1, 2, 3))),
        plain_part(piece, "seat", "Top with “breadboard” ends", Mate("sockets", f"{piece}/frame", "leg tops")),
    )
)

FRAMES = tuple(
    Assembly(f"{piece}/frame", piece, "frame", "Frame", tuple(f"{piece}/leg-{n}" for n in (1, 2, 3)), "glue-frame")
    for piece in "AB"
)

SHEET = Sheet(
    recipe="plant-stand", title="Plant stand", about="", units="mm", pieces=("A", "B"), sizes=(), parts=PARTS,
    assemblies=FRAMES,
    setups=(Setup("splay-cut", "mitre saw", "Splayed ends", (SetValue("table angle", "angle", (), 8.0),), 6),),
    operations=(
        operation("cut", "mitre saw"),
        operation("glue-frame", "bench", clamps={"band": 1, "bar": 2}),
        operation("glue-top", "bench", clamps={"bar": 4}),
    ),
    cautions={}, figures={}, materials=(), hardware=(),
)  # fmt: skip

CODES = {thing.id: new_code(2654435761 * 7 * (number + 1) % 2**35) for number, thing in enumerate((*PARTS, *FRAMES))}

STARTED = Started("Two plant stands", SHEET, "", CODES)
