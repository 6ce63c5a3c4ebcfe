"""Subjects about cutters and their noise: rim-speed, cutter-speed, router-speed, noise."""

import argparse

from benchbell.findings import OutsideValidity
from benchbell.reckon.answer import FIRST, Answer, Command, cited, length, mm
from benchbell.trade.cutters import (
    Cutter,
    cutter_named,
    cutters,
    feet_per_minute,
    most_at,
    rim_speed_m_per_s,
    router_band,
    usual_rpm,
)
from benchbell.trade.noise import allowed_hours, day_level_dba, dose_percent

ROUNDING_M_PER_S = 0.01
MARK_FIRST = "Never exceed the speed marked on the tool."
NOISE_SOURCE = "29 CFR 1910.95, Table G-16; its formulae from memory"


def cutter_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of a cutter."""
    parser.add_argument("--cutter", required=True, help=f"its kind: {', '.join(cutters())}")
    parser.add_argument("--diameter", required=True, help='of the cutter, such as "250 mm"')


def rim_speed_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `rim-speed`."""
    cutter_arguments(parser)
    parser.add_argument("--rpm", type=float, required=True, help="turns a minute")


def rim_speed(args: argparse.Namespace) -> Answer:
    """The speed of a cutter's rim. Raises Refused when an option cannot be read or is not above 0."""
    cutter, diameter = cutter_named(args.cutter), length(args.diameter, "--diameter")
    speed = rim_speed_m_per_s(diameter, args.rpm)
    lines = (f"The rim goes {rim_text(speed)}.", *verdict(cutter, diameter, args.rpm), MARK_FIRST)
    figures = {"rim_m_per_s": speed, "rim_ft_per_min": feet_per_minute(speed)}
    return Answer(figures, lines, f"pi × diameter × rpm; {cited(cutter.source, cutter.grade)}", f"exact. {FIRST}")


def verdict(cutter: Cutter, diameter_mm: float, rpm: float) -> tuple[str, ...]:
    """What is usual for such a cutter, and whether this is more; why nothing is, where there is no usual speed."""
    try:
        usual = usual_rpm(cutter, diameter_mm)
    except OutsideValidity as none_known:
        return (none_known.what,)
    kind = f"A {cutter.id} of {mm(diameter_mm)}"
    sentence = (
        f"{kind} usually turns at most {usual.most:,.0f} rpm."
        if usual.least is None
        else f"{kind} usually turns {usual.least:,.0f} to {usual.most:,.0f} rpm."
    )
    return (sentence, "That is TOO FAST: turn it slower.") if rpm > usual.most else (sentence,)


def rim_text(m_per_s: float) -> str:
    """A rim speed as text, in both units."""
    return f"{m_per_s:.1f} m/s ({feet_per_minute(m_per_s):,.0f} ft/min)"


def cutter_speed_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `cutter-speed`."""
    cutter_arguments(parser)
    rim = parser.add_mutually_exclusive_group()
    rim.add_argument("--rim", type=float, metavar="M/S", help="speed of the rim in m/s; left out: the usual most")
    rim.add_argument("--rim-feet", type=float, metavar="FT/MIN", help="the same in feet a minute")


def cutter_speed(args: argparse.Namespace) -> Answer:
    """The most turns a minute for a rim speed. Raises Refused when an option cannot be read or there is no answer."""
    cutter, diameter = cutter_named(args.cutter), length(args.diameter, "--diameter")
    asked = args.rim if args.rim_feet is None else args.rim_feet / feet_per_minute(1)
    usual = usual_rpm(cutter, diameter) if asked is None else most_at(cutter, diameter, asked)
    speed = rim_speed_m_per_s(diameter, usual.most)
    table = "the router table's limit, which is the smaller" if usual.by_table else "by the speed of the rim"
    lines = [f"At most {usual.most:,.0f} rpm, {table}; the rim then goes {rim_text(speed)}."]
    if speed > cutter.most_m_per_s + ROUNDING_M_PER_S:
        lines.append(f"More than {rim_text(cutter.most_m_per_s)} is not usual for a {cutter.id}: turn it slower.")
    figures = {"most_rpm": usual.most, "rim_m_per_s": speed, "rim_ft_per_min": feet_per_minute(speed)}
    source = f"pi × diameter × rpm; {cited(cutter.source, cutter.grade)}"
    return Answer(figures, (*lines, MARK_FIRST), source, f"exact. {FIRST}")


def router_speed_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `router-speed`."""
    parser.add_argument("--diameter", required=True, help='of the bit, such as "1 1/2 in"')


def router_speed(args: argparse.Namespace) -> Answer:
    """The usual greatest speed of a router bit. Raises Refused when the diameter cannot be read or is too large."""
    diameter = length(args.diameter, "--diameter")
    band = router_band(diameter)
    speed = rim_speed_m_per_s(diameter, band.most_rpm)
    lines = (
        f"At most {band.most_rpm:,} rpm for a bit up to {band.id}; the rim then goes {rim_text(speed)}.",
        "The speed marked on the bit comes first: use the lower of the two.",
    )
    figures = {"most_rpm": band.most_rpm, "rim_m_per_s": speed, "rim_ft_per_min": feet_per_minute(speed)}
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
    Command("cutter-speed", "the most a cutter is turned for a rim speed", cutter_speed_arguments, cutter_speed),
    Command("router-speed", "the most a router bit is usually turned", router_speed_arguments, router_speed),
    Command("noise", "the noise dose of a day", noise_arguments, noise),
)
