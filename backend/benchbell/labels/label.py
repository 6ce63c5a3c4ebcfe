"""The words of labels: one label for each part, assembly, fixture, station, setup and clamp rack of a build."""

from collections.abc import Iterable, Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from benchbell.bench.book import Book
from benchbell.bench.happenings import Started
from benchbell.bench.state import bench_of
from benchbell.recipe.board_order import places_on_boards
from benchbell.recipe.label_code import PATHS, Kind, slug
from benchbell.recipe.measure import dim_named, show
from benchbell.recipe.sheet import Assembly, Fixture, Part, Setup, Sheet

LabelKind = Literal["part", "assembly", "fixture", "station", "setup", "rack"]

KINDS: tuple[LabelKind, ...] = ("part", "assembly", "fixture", "station", "setup", "rack")

CODE_KIND: dict[LabelKind, Kind] = {
    "part": "part",
    "assembly": "part",
    "fixture": "fixture",
    "station": "station",
    "setup": "setup",
    "rack": "rack",
}


class Label(Struct, frozen=True):
    """The words of one label.

    id: of the thing, as in the sheet. code: label code, "" for a thing that is found by its name. A fixture that is
    made in the build is the part or assembly that it is, with its id and code; one of the shop's has its name there.
    place: where it goes. mark: what the label's arrow points at. mates: a line for each thing it meets or contains;
    of a part that is cut from a board with others first which of them it is.
    """

    kind: LabelKind
    id: str
    code: str
    title: str
    piece: str = ""
    place: str = ""
    mark: str = ""
    mates: tuple[str, ...] = ()


def address(label: Label, host: str) -> str:
    """The address in a label's square, in capitals, which give a smaller QR symbol. host: with its port."""
    kind = "part" if label.code else CODE_KIND[label.kind]
    return f"HTTPS://{host}/{PATHS[kind]}/{label.code or slug(label.id)}".upper()


def build_labels(build: Started, codes: Mapping[str, str] | None = None) -> tuple[Label, ...]:
    """All labels of a build in the order of its sheet.

    codes: by part's id, new codes of parts that were made again; they replace the build's first codes.
    """
    sheet, codes = build.sheet, build.codes | dict(codes or {})
    titles = {part.id: titled(part) for part in sheet.parts} | {made.id: titled(made) for made in sheet.assemblies}
    places = places_on_boards(sheet.boards)
    made_here = {id: fixture for fixture in sheet.fixtures for id in fixture.of}
    pieces_labels = (
        *(part_label(part, codes[part.id], titles, places.get(part.id, "")) for part in sheet.parts),
        *(assembly_label(made, codes[made.id], titles, sheet.parts) for made in sheet.assemblies),
    )
    return (
        *(as_fixture(label, made_here[label.id]) if label.id in made_here else label for label in pieces_labels),
        *shop_fixture_labels(sheet),
        *station_labels(sheet),
        *(setup_label(setup, sheet) for setup in sheet.setups),
        *rack_labels(sheet),
    )


def current_labels(book: Book) -> tuple[Label, ...]:
    """All labels of a build with the current codes; none before its `started` happening has arrived."""
    build, bench = book.started(), bench_of(book)
    if build is None or bench is None:
        return ()
    return build_labels(build, {id: part.code for id, part in bench.parts.items()})


def titled(thing: Part | Assembly) -> str:
    """The title of a part or assembly, or its name when it has no title."""
    return thing.title or thing.name


def meeting(end: str, other: str, at: str) -> str:
    """A line such as `front tenon meets Leg 1, top mortise`, without the ends that the recipe does not name."""
    return f"{end} meets {other}".strip() + (f", {at}" if at else "")


def part_label(part: Part, code: str, titles: Mapping[str, str], on_board: str) -> Label:
    """A part's label: where it goes, its marks, its place on its board, and what it meets."""
    mates = tuple(meeting(mate.end, titles.get(mate.to, mate.to), mate.at) for mate in part.mates)
    lines = (on_board, *mates) if on_board else mates
    return Label("part", part.id, code, titled(part), part.piece, part.place, part.mark, lines)


def assembly_label(made: Assembly, code: str, titles: Mapping[str, str], parts: Iterable[Part]) -> Label:
    """An assembly's label: where it goes, what is joined in it, and which parts meet it."""
    joined = ", ".join(titles.get(id, id) for id in made.of)
    mates = (meeting(mate.at, titled(part), mate.end) for part in parts for mate in part.mates if mate.to == made.id)
    return Label("assembly", made.id, code, titled(made), made.piece, made.place, mates=(f"of {joined}", *mates))


def as_fixture(label: Label, fixture: Fixture) -> Label:
    """The label of a part or assembly that is a fixture: with the fixture's title, and what it is for where that is
    written."""
    several = len(fixture.of) > 1
    title = f"{fixture.title} {fixture.of.index(label.id) + 1}" if several else fixture.title
    return replace(label, kind="fixture", title=title, mates=(fixture.about,) if fixture.about else label.mates)


def shop_fixture_labels(sheet: Sheet) -> tuple[Label, ...]:
    """A label for each fixture of the shop that the build uses."""
    return tuple(
        Label("fixture", fixture.owned, "", fixture.owned, mates=(fixture.about,) if fixture.about else ())
        for fixture in sheet.fixtures
        if fixture.owned
    )


def station_labels(sheet: Sheet) -> tuple[Label, ...]:
    """A label for each station of the build, with its setups."""
    names = dict.fromkeys(operation.station for operation in sheet.operations if operation.station)
    return tuple(
        Label("station", name, "", name, mates=tuple(s.title or s.id for s in sheet.setups if s.station == name))
        for name in names
    )


def setup_label(setup: Setup, sheet: Sheet) -> Label:
    """A setup's label, for its stop block or jig: the station, the planned values and what it needs."""
    values = (f"{value.name} {show(value.plan, dim_named(value.dim), sheet.units)}" for value in setup.set)
    return Label("setup", setup.id, "", setup.title or setup.id, place=setup.station, mates=(*values, *setup.needs))


def rack_labels(sheet: Sheet) -> tuple[Label, ...]:
    """A label for each kind of clamp of the build, with the most that one glue-up takes."""
    most: dict[str, int] = {}
    for operation in sheet.operations:
        for clamp, count in operation.clamps.items():
            most[clamp] = max(count, most.get(clamp, 0))
    return tuple(Label("rack", clamp, "", f"{clamp} clamps", mates=(f"up to {most[clamp]} at once",)) for clamp in most)
