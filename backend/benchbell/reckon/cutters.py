"""Subjects about cutters and their noise: rim-speed, router-speed, noise."""

import argparse

from benchbell.reckon.answer import FIRST, Answer, Command, cited, length, mm
from benchbell.trade.cutters import SAW_RIM_M_PER_S, feet_per_minute, rim_speed_m_per_s, router_band, rpm_for
from benchbell.trade.noise import allowed_hours, day_level_dba, dose_percent

NOISE_SOURCE = "29 CFR 1910.95, Table G-16; its formulae from memory"


def rim_speed_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `rim-speed`."""
    parser.add_argument("--diameter", required=True, help='of the cutter, such as "250 mm"')
    parser.add_argument("--rpm", type=float, required=True, help="turns a minute")


def rim_speed(args: argparse.Namespace) -> Answer:
    """The speed of a cutter's rim. Raises Refused when an option cannot be read or is not above 0."""
    diameter = length(args.diameter, "--diameter")
    speed = rim_speed_m_per_s(diameter, args.rpm)
    least, most = SAW_RIM_M_PER_S
    slow, fast = rpm_for(diameter, least), rpm_for(diameter, most)
    lines = (
        f"The rim goes {speed:.1f} m/s ({feet_per_minute(speed):,.0f} ft/min).",
        f"Circular saws in wood usually go {least} to {most} m/s, {slow:,.0f} to {fast:,.0f} rpm at this size "
        "(common practice, no source).",
        "Never exceed the speed marked on the tool.",
    )
    figures = {"rim_m_per_s": speed, "rim_ft_per_min": feet_per_minute(speed)}
    return Answer(figures, lines, "pi × diameter × rpm", f"exact. {FIRST}")


def router_speed_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `router-speed`."""
    parser.add_argument("--diameter", required=True, help='of the bit, such as "1 1/2 in"')


def router_speed(args: argparse.Namespace) -> Answer:
    """The usual greatest speed of a router bit. Raises Refused when the diameter cannot be read or is too large."""
    diameter = length(args.diameter, "--diameter")
    band = router_band(diameter)
    speed = rim_speed_m_per_s(diameter, band.most_rpm)
    lines = (
        f"At most {band.most_rpm:,} rpm for a bit up to {band.id}; the rim then goes {speed:.1f} m/s.",
        "The speed marked on the bit comes first: use the lower of the two.",
    )
    figures = {"most_rpm": band.most_rpm, "rim_m_per_s": speed}
    return Answer(figures, lines, cited(band.source, band.grade), f"bits up to {mm(88.9)}. {FIRST}")


def noise_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `noise`."""
    help_text = "a level in dBA and the hours at it; give it again for each"
    parser.add_argument(
        "--spell", type=float, nargs=2, action="append", required=True, metavar=("DBA", "HOURS"), help=help_text
    )


def noise(args: argparse.Namespace) -> Answer:
    """The noise dose of a day. Raises Refused when a level or the hours are out of range."""
    spells = [(dba, hours) for dba, hours in args.spell]
    dose = dose_percent(spells)
    level = day_level_dba(dose) if dose else None
    lines = [f"{dba:g} dBA: a full dose in {allowed_hours(dba):.2g} h." for dba, _ in spells if dba >= 80]
    lines.append(f"The day's dose is {dose:.0f} %" + ("." if level is None else f", {level:.1f} dBA over 8 hours."))
    return Answer({"dose_percent": dose, "level_dba": level}, tuple(lines), NOISE_SOURCE, f"80 to 115 dBA. {FIRST}")


COMMANDS = (
    Command("rim-speed", "how fast a cutter's rim goes", rim_speed_arguments, rim_speed),
    Command("router-speed", "the most a router bit is usually turned", router_speed_arguments, router_speed),
    Command("noise", "the noise dose of a day", noise_arguments, noise),
)
