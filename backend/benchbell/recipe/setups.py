"""What stations are set to, each value checked and reckoned."""

from benchbell.findings import Refused
from benchbell.recipe.named_sizes import Names, figure_of
from benchbell.recipe.notes import Notes
from benchbell.recipe.sheet import Setup, SetValue
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import Recipe, SetupText
from benchbell.trade.stations import station_named


def all_setups(recipe: Recipe, names: Names, notes: Notes) -> dict[str, Setup]:
    """Every setup by id."""
    known: dict[str, Setup] = {}
    for row, written in enumerate(recipe.setup):
        path = ("setup", row)
        if written.id in known:
            notes.error("twice", path, f"Setup {written.id} is there twice.", "Give each its own id.")
        check_station(written.station, f"Setup {written.id}", (*path, "station"), notes)
        known[written.id] = setup_of(written, path, names, notes)
    return known


def setup_of(written: SetupText, path: Path, names: Names, notes: Notes) -> Setup:
    """One setup."""
    values = [
        SetValue(name, figure.compiled.dim.name, figure.compiled.postfix, figure.plan)
        for name, text in written.set.items()
        if (figure := figure_of(text, names, (*path, "set", name), f"Setup {written.id}: {name}", notes))
    ]
    title = written.title or written.id.replace("-", " ").capitalize()
    return Setup(
        written.id, written.station, title, tuple(values), written.minutes, written.prove, tuple(written.needs)
    )


def check_station(name: str, about: str, path: Path, notes: Notes) -> None:
    """A finding when there is no station of that name."""
    try:
        station_named(name)
    except Refused as error:
        notes.refused("unknown-name", path, about, error)
