"""Subjects about the moisture of wood and the known woods: emc, target, species."""

import argparse

from benchbell.reckon.answer import Answer, Command, add_temperature, cited
from benchbell.trade.air import degrees
from benchbell.trade.moisture_targets import outside, spread_percent, target_named
from benchbell.trade.species import Species, coefficients, species, species_named
from benchbell.trade.wood import EMC_CELSIUS, EMC_HUMIDITY, emc_percent

EMC_SOURCE = "Wood Handbook, FPL-GTR-190, eq. 4-5"
EMC_VALIDITY = (
    f"{degrees(EMC_CELSIUS[0])} to {degrees(EMC_CELSIUS[1])}, {EMC_HUMIDITY[0]} to {EMC_HUMIDITY[1]} % relative "
    "humidity, and at 0 and 100 % the limits themselves; "
    "solid wood left in that air for long enough, whatever its species"
)


def emc_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `emc`."""
    add_temperature(parser, "temperature")
    parser.add_argument("--humidity", type=float, required=True, help="relative humidity in percent")


def emc(args: argparse.Namespace) -> Answer:
    """Equilibrium moisture content of wood in that air. Raises Refused when the air is out of range."""
    percent = emc_percent(args.celsius, args.humidity)
    line = f"Wood comes to {percent:.1f} % moisture content at {degrees(args.celsius)} and {args.humidity:g} %."
    return Answer({"emc_percent": percent}, (line,), EMC_SOURCE, EMC_VALIDITY)


def target_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `target`."""
    parser.add_argument("--for", dest="purpose", default="furniture", help='furniture, "most of the US", ...')
    parser.add_argument("--reading", type=float, nargs="*", default=[], help="meter readings, percent")


def target(args: argparse.Namespace) -> Answer:
    """The moisture content to aim for. Raises UnknownName when there is no such purpose."""
    found = target_named(args.purpose)
    out = outside(found, args.reading)
    spread = spread_percent(args.reading) if args.reading else None
    figures = {
        **{"aim_percent": found.aim_percent, "least_percent": found.least_percent},
        **{"most_percent": found.most_percent, "outside_percent": out, "spread_percent": spread},
    }
    lines = [f"{found.title}: {found.least_percent:g} to {found.most_percent:g} % moisture content."]
    if out:
        lines.append(f"Outside it: {', '.join(f'{reading:g} %' for reading in out)}. Let them come to the shop's air.")
    if spread is not None:
        lines.append(f"Readings are {spread:g} points apart; 2 is usual for a glued panel, 5 the most.")
    return Answer(figures, tuple(lines), cited(found.source, found.grade), "solid wood; meters are good for 6 to 30 %")


def species_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the argument of `species`."""
    parser.add_argument("name", nargs="?", help="a wood; left out, all are listed")


def species_answer(args: argparse.Namespace) -> Answer:
    """A wood's figures, or the list of all woods. Raises UnknownName when there is no such wood."""
    if args.name is None:
        names = sorted(species(), key=str.casefold)
        return Answer(
            {"species": names}, tuple(names), "Wood Handbook, FPL-GTR-190, and others, named with each wood", "-"
        )
    wood = species_named(args.name)
    radial, tangential = coefficients(wood)
    figures = {
        **{"species": wood.id, "also": wood.also, "radial_per_percent": radial, "tangential_per_percent": tangential},
        **{"shrinkage_percent": wood.shrinkage, "gravity": wood.gravity, "oily": wood.oily},
        "note": wood.note,
    }
    heading = wood.id + (f" (also {', '.join(wood.also)})" if wood.also else "")
    lines = [heading, f"Per 1 % moisture content: {radial:.5f} radial, {tangential:.5f} tangential."]
    if wood.shrinkage:
        lines.append(
            "Shrinks by {:g} % radially and {:g} % tangentially from green to ovendry.".format(*wood.shrinkage)
        )
    if wood.gravity:
        lines.append(f"Specific gravity {wood.gravity:g} at 12 %.")
    if wood.oily:
        lines.append("Oily: wipe it with solvent just before it is glued.")
    lines.append(wood.note)
    validity = "coefficients from 6 to 14 % moisture content; gravity at 12 %"
    return Answer(figures, tuple(line for line in lines if line), coefficient_source(wood, True), validity)


def coefficient_source(wood: Species, linear: bool) -> str:
    """The source and grade of a wood's figures. linear: of the coefficients, otherwise of the shrinkage."""
    grade = wood.grade if linear else wood.shrinkage_grade
    derived = " (coefficient derived from the shrinkage)" if linear and wood.coefficients is None else ""
    return f"{wood.id}: {cited(wood.source, grade)}{derived}"


COMMANDS = (
    Command("emc", "moisture content that wood comes to in some air", emc_arguments, emc),
    Command("target", "moisture content to aim for", target_arguments, target),
    Command("species", "the woods that are known, or one of them", species_arguments, species_answer),
)
