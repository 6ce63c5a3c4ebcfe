"""Subjects about angles at the saw: mitre, taper, leg, slant. Exact geometry."""

import argparse

from benchbell.reckon.answer import FIRST, Answer, Command, angle, deg, length, mm
from benchbell.trade.angles import leaning_leg, slant_height, splay, taper

SOURCE = "the usual compound-angle formulae, derived from vectors"
SAW = "exact; prove the setting on scrap. " + FIRST


def mitre_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `mitre`."""
    parser.add_argument("--sides", type=int, required=True, help="how many equal sides")
    parser.add_argument("--slope", default="90", help="of the sides from the horizontal, degrees; 90 is upright")


def mitre(args: argparse.Namespace) -> Answer:
    """Saw settings for a box of equal sides, upright or splayed. Raises Refused when an option is out of range."""
    found = splay(args.sides, angle(args.slope, "--slope"))
    figures = {
        **{"swing_deg": found.swing, "tilt_deg": found.mitre_tilt},
        **{"butt_tilt_deg": found.butt_tilt, "dihedral_deg": found.dihedral},
    }
    lines = (
        f"Crosscut: swing {deg(found.swing)} from square.",
        f"Blade: tilt {deg(found.mitre_tilt)} for a mitre, {deg(found.butt_tilt)} for a butt joint.",
        f"Between the inside faces: {deg(found.dihedral)}.",
    )
    return Answer(figures, lines, SOURCE, f"boards lying flat on the saw's table; {SAW}")


def taper_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `taper`."""
    parser.add_argument("--offset", required=True, help="what is cut off at the end")
    parser.add_argument("--length", required=True, help="of the taper")


def taper_answer(args: argparse.Namespace) -> Answer:
    """The angle of a taper. Raises Refused when an option is not a length or out of range."""
    found = taper(length(args.offset, "--offset"), length(args.length, "--length"))
    return Answer({"angle_deg": found}, (f"Taper {deg(found)} on one face.",), SOURCE, SAW)


def leg_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `leg`."""
    parser.add_argument("--height", required=True, help="from the floor to the leg's top")
    parser.add_argument("--front", required=True, help="lean from vertical, seen from the front")
    parser.add_argument("--side", default="0 deg", help="lean from vertical, seen from the side; 0 deg")


def leg(args: argparse.Namespace) -> Answer:
    """A leg splayed in one or two directions. Raises Refused when an option cannot be read or is out of range."""
    height = length(args.height, "--height")
    found = leaning_leg(height, angle(args.front, "--front"), angle(args.side, "--side"))
    figures = {
        **{"lean_deg": found.lean, "sight_line_deg": found.sight_line, "length_mm": found.length_mm},
        **{"front_mm": found.front_mm, "side_mm": found.side_mm},
    }
    lines = (
        f"Leans {deg(found.lean)} from vertical, along a sight line {deg(found.sight_line)} from the front view.",
        f"{mm(found.length_mm)} long on its axis.",
        f"The foot stands {mm(found.front_mm)} out in the front view, {mm(found.side_mm)} in the side view.",
    )
    return Answer(figures, lines, SOURCE, f"leans up to 60°; {SAW}")


def slant_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `slant`."""
    parser.add_argument("--height", required=True, help="straight up")
    parser.add_argument("--lean", required=True, help="from vertical")


def slant(args: argparse.Namespace) -> Answer:
    """The width of a leaning side. Raises Refused when an option cannot be read or is out of range."""
    found = slant_height(length(args.height, "--height"), angle(args.lean, "--lean"))
    return Answer({"slant_mm": found}, (f"{mm(found)} along the slope.",), SOURCE, "leans up to 85°; exact")


COMMANDS = (
    Command("mitre", "saw settings for a box of equal sides, upright or splayed", mitre_arguments, mitre),
    Command("taper", "the angle of a taper", taper_arguments, taper_answer),
    Command("leg", "a leg splayed one or two ways", leg_arguments, leg),
    Command("slant", "the width of a leaning side", slant_arguments, slant),
)
