"""Subjects about glue, clamps and finish: glue, glue-up, clamps, finish."""

import argparse

from benchbell.findings import Refused
from benchbell.reckon.answer import FIRST, Answer, Command, add_temperature, cited, length, mm, time
from benchbell.reckon.answer import minutes as minutes_of
from benchbell.trade.air import MOST_CELSIUS, celsius_of, degrees
from benchbell.trade.clamps import (
    NEWTONS_PER_LBF,
    PSI_PER_N_PER_MM2,
    budget,
    clamp_count,
    clamp_named,
    pressure_n_per_mm2,
)
from benchbell.trade.finish import cure_minutes as finish_cure
from benchbell.trade.finish import finish_named, handle_minutes, recoat_minutes
from benchbell.trade.glue import (
    Glue,
    assembly_minutes,
    clamp_minutes,
    cure_minutes,
    dry_minutes,
    glue_named,
    machine_minutes,
    open_minutes,
    origin,
    pot_minutes,
)
from benchbell.trade.places import WORDS as WORDS_OF_PLACES
from benchbell.trade.species import species_named

GLUE_VALIDITY = (
    f"from the glue's least temperature to {degrees(MOST_CELSIUS)}; wood at 6 to 10 % moisture content, "
    f"an ordinary spread. {FIRST}"
)
CLAMP_VALIDITY = "flat, well-planed faces and clamps tightened by hand; small faces and epoxy need less. " + FIRST


def air_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of the shop's air."""
    add_temperature(parser, "the coldest reading")
    parser.add_argument("--humidity", type=float, default=50.0, help="relative humidity in percent; 50")


def glue_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of a glue, its label and the air."""
    parser.add_argument("--with", dest="glue", required=True, help='class of glue, such as "pva-interior"')
    air_arguments(parser)
    parser.add_argument("--label", action="append", default=[], metavar="FIGURE=VALUE", help="such as open_minutes=8")


def glue_of(args: argparse.Namespace) -> Glue:
    """The glue with its label's figures. Raises UnknownName when the glue or a figure is unknown, Refused when a figure
    is out of range."""
    return glue_named(args.glue, dict(label_figure(text) for text in args.label))


def label_figure(text: str) -> tuple[str, float]:
    """The name and value in `open_minutes=8`; of `at_fahrenheit=68` those of `at_celsius`.

    Raises Refused when the text has no name or number.
    """
    name, _, value = (part.strip() for part in text.partition("="))
    try:
        if name.endswith("_fahrenheit"):
            return name.replace("_fahrenheit", "_celsius"), celsius_of(float(value))
        return name, float(value)
    except ValueError:
        raise Refused(f"--label is “{text}”, which is not a figure.", "Write one as open_minutes=8.") from None


def glue_stressed_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `glue`."""
    glue_arguments(parser)
    parser.add_argument("--stressed", action="store_true", help="the joint is under stress, or the work is bent")


def glue(args: argparse.Namespace) -> Answer:
    """Every time of a glue in that air. Raises Refused when the glue is unknown or the air too cold or out of range."""
    chosen, air = glue_of(args), (args.celsius, args.humidity)
    clamp_figure = "stressed_clamp_minutes" if args.stressed else "clamp_minutes"
    times = {
        "dry_minutes": dry_minutes(chosen, *air) or None,
        "open_minutes": open_minutes(chosen, *air),
        "assembly_minutes": assembly_minutes(chosen, *air),
        "pot_minutes": pot_minutes(chosen, *air),
        clamp_figure: clamp_minutes(chosen, *air, args.stressed),
        "machine_minutes": machine_minutes(chosen, *air),
        "cure_minutes": cure_minutes(chosen, *air),
    }
    lines = [f"{chosen.title} at {degrees(args.celsius)} and {args.humidity:g} %:"]
    lines += [f"  {WORDS[name]} {time(value)} — {origin(chosen, name)}" for name, value in times.items() if value]
    if chosen.pare_minutes:
        lines.append("  pare squeeze-out {:g} to {:g} min after clamping".format(*chosen.pare_minutes))
    figures = {"glue": chosen.id, **times, "pare_minutes": chosen.pare_minutes, "from_label": chosen.from_label}
    figures |= {"good_for": chosen.good_for, "creeps": chosen.creeps}
    lines.append(f"Good {WORDS_OF_PLACES[chosen.good_for]}.")
    return Answer(figures, (*lines, chosen.note), cited(chosen.source, chosen.grade), GLUE_VALIDITY)


WORDS = {
    "dry_minutes": "let dry at least",
    "open_minutes": "faces together within",
    "assembly_minutes": "clamps tight within",
    "pot_minutes": "use up the pot within",
    "clamp_minutes": "in clamps at least",
    "stressed_clamp_minutes": "in clamps, under stress, at least",
    "machine_minutes": "no machining for",
    "cure_minutes": "full strength after",
}


def glue_up_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `glue-up`."""
    glue_arguments(parser)
    parser.add_argument("--spread", required=True, help='time to spread, such as "6 min"')
    parser.add_argument("--clamp-up", required=True, help='from there to the last clamp, such as "4 min"')


def glue_up(args: argparse.Namespace) -> Answer:
    """Whether a glue-up fits its glue's times. Raises Refused when an option cannot be read or the air is too cold."""
    chosen = glue_of(args)
    spread, clamp_up = minutes_of(args.spread, "--spread"), minutes_of(args.clamp_up, "--clamp-up")
    found = budget(spread, clamp_up, chosen, args.celsius, args.humidity)
    figures = {
        **{"open_minutes": found.open_minutes, "assembly_minutes": found.assembly_minutes},
        **{"over_minutes": found.over_minutes, "fits": found.over_minutes == 0},
    }
    verdict = f"Too long by {time(found.over_minutes)}: split the glue-up, or use a slower glue."
    lines = (
        f"{chosen.title} stays open {time(found.open_minutes)}, clamps tight within {time(found.assembly_minutes)}.",
        verdict if found.over_minutes else "It fits.",
    )
    return Answer(figures, lines, cited(chosen.source, chosen.grade), GLUE_VALIDITY)


def clamps_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `clamps`."""
    parser.add_argument("--length", required=True, help="of the joint")
    parser.add_argument("--width", required=True, help="of the glue face")
    parser.add_argument("--board", required=True, help="from the clamp's head, or its caul, to the glue line")
    parser.add_argument("--wood", required=True, help='such as "hard maple"')
    parser.add_argument("--clamp", required=True, help='kind of clamp, such as "heavy F"')


def clamps(args: argparse.Namespace) -> Answer:
    """How many clamps a joint needs. Raises Refused when an option cannot be read or a name is unknown."""
    long, wide = length(args.length, "--length"), length(args.width, "--width")
    wood, clamp = species_named(args.wood), clamp_named(args.clamp)
    depth = length(args.board, "--board")
    found = clamp_count(long, long * wide, depth, pressure_n_per_mm2(wood), clamp)
    figures = {
        **{"clamps": found.count, "by_force": found.by_force, "by_spacing": found.by_spacing},
        **{"pressure_n_per_mm2": found.pressure_n_per_mm2, "force_n": found.force_n, "spacing_mm": found.spacing_mm},
    }
    lines = (
        f"{found.count} × {clamp.title}: force needs {found.by_force}, spacing needs {found.by_spacing}.",
        f"{found.pressure_n_per_mm2:.2f} N/mm² ({found.pressure_n_per_mm2 * PSI_PER_N_PER_MM2:,.0f} psi) "
        f"on the glue is {force(found.force_n)}; the clamp is counted at {force(clamp.least_n)}.",
        f"Neighbours at most {mm(found.spacing_mm)} apart: pressure fans out at 45° from the head.",
    )
    source = f"Pressure: Wood Handbook, FPL-GTR-190, ch. 10, from memory. Clamp: {cited(clamp.source, clamp.grade)}"
    return Answer(figures, lines, source, CLAMP_VALIDITY)


def force(newtons: float) -> str:
    """A force as text, in both units."""
    return f"{newtons / 1000:.3g} kN ({newtons / NEWTONS_PER_LBF:,.0f} lbf)"


def finish_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `finish`."""
    parser.add_argument("--with", dest="finish", required=True, help='class of finish, such as "hardwax-oil"')
    air_arguments(parser)


def finish(args: argparse.Namespace) -> Answer:
    """Every time of a finish in that air. Raises Refused when it is unknown or does not dry in that air."""
    chosen, air = finish_named(args.finish), (args.celsius, args.humidity)
    times = {
        "wipe_from_minutes": chosen.wipe_from_minutes,
        "wipe_to_minutes": chosen.wipe_to_minutes,
        "wet_edge_minutes": chosen.wet_edge_minutes,
        "pot_minutes": chosen.pot_minutes,
        "recoat_minutes": recoat_minutes(chosen, *air),
        "recoat_most_minutes": chosen.recoat_most_minutes,
        "handle_minutes": handle_minutes(chosen, *air),
        "cure_minutes": finish_cure(chosen, *air),
    }
    lines = [f"{chosen.title} at {degrees(args.celsius)} and {args.humidity:g} %:"]
    lines += [f"  {FINISH_WORDS[name]} {time(value)}" for name, value in times.items() if value is not None]
    lines += ["Its rags can catch fire by themselves."] if chosen.oily_rags else []
    lines.append(f"Good {WORDS_OF_PLACES[chosen.good_for]}.")
    figures = {"finish": chosen.id, **times, "oily_rags": chosen.oily_rags, "good_for": chosen.good_for}
    range_of_air = f"{degrees(chosen.least_celsius)} to {degrees(MOST_CELSIUS)}"
    validity = f"{range_of_air}, up to {chosen.most_humidity_percent:g} % relative humidity. {FIRST}"
    return Answer(figures, (*lines, chosen.note), cited(chosen.source, chosen.grade), validity)


FINISH_WORDS = {
    "wipe_from_minutes": "wipe off after",
    "wipe_to_minutes": "wipe off within",
    "wet_edge_minutes": "wet edge for",
    "pot_minutes": "use up the pot within",
    "recoat_minutes": "next coat after",
    "recoat_most_minutes": "scuff before a coat later than",
    "handle_minutes": "handle after",
    "cure_minutes": "cured after",
}

COMMANDS = (
    Command("glue", "how long a glue stays open and must stay in clamps", glue_stressed_arguments, glue),
    Command("glue-up", "whether a glue-up fits its glue", glue_up_arguments, glue_up),
    Command("clamps", "how many clamps a joint needs", clamps_arguments, clamps),
    Command("finish", "when to wipe a finish, put the next coat on, handle it", finish_arguments, finish),
)
