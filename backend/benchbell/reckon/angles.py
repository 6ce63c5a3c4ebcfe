"""Subjects about angles at the saw: mitre, taper, leg, slant. Exact geometry."""

import argparse

from benchbell.reckon.answer import FIRST, Answer, Command, angle, deg, length, mm
from benchbell.trade.angles import leaning_leg, other_way, slant_height, splay, taper

SOURCE = "the usual compound-angle formulae, derived from vectors"
SAW = "exact; prove the setting on scrap. " + FIRST


STEEP_ENOUGH = 45
"""A lean from the vertical beyond this many degrees is asked about: furniture seldom leans so far."""


def add_lean(parser: argparse.ArgumentParser, whose: str, usual: str | None = None) -> None:
    """Add the options --lean, from the vertical, and --slope, from the horizontal: one of the two is given."""
    either = parser.add_mutually_exclusive_group(required=usual is None)
    comparison = "" if usual is None else f"; {usual}"
    either.add_argument("--lean", default=usual, help=f"{whose} from the vertical, degrees; 0 is upright{comparison}")
    either.add_argument("--slope", help=f"{whose} from the horizontal, degrees; 90 is upright")


def lean_of(args: argparse.Namespace) -> float:
    """The lean from the vertical in degrees, whichever way it was given. Raises Refused when it is no angle."""
    return angle(args.lean, "--lean") if args.slope is None else other_way(angle(args.slope, "--slope"))


def leaning(lean: float) -> str:
    """A lean in words, from both sides: `leans 15° from the vertical, 75° from the horizontal`."""
    return f"leans {deg(lean)} from the vertical, {deg(other_way(lean))} from the horizontal"


def question(lean: float) -> tuple[str, ...]:
    """A question where a lean looks as if it were measured from the other line."""
    if abs(lean) <= STEEP_ENOUGH:
        return ()
    return (f"Is that so flat? A lean of {deg(other_way(abs(lean)))} from the vertical is more usual: look at --lean.",)


def mitre_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `mitre`."""
    parser.add_argument("--sides", type=int, required=True, help="how many equal sides")
    add_lean(parser, "of the sides", "0")


def mitre(args: argparse.Namespace) -> Answer:
    """Saw settings for a box of equal sides, upright or splayed. Raises Refused when an option is out of range."""
    lean = lean_of(args)
    found = splay(args.sides, other_way(lean))
    figures = {
        **{"swing_deg": found.swing, "tilt_deg": found.mitre_tilt},
        **{"butt_tilt_deg": found.butt_tilt, "dihedral_deg": found.dihedral},
    }
    lines = (
        f"Each side {leaning(lean)}.",
        *question(lean),
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
    parser.add_argument("--front", required=True, help="lean from the vertical, seen from the front; 0 is upright")
    parser.add_argument("--side", default="0 deg", help="lean from the vertical, seen from the side; 0 deg")


def leg(args: argparse.Namespace) -> Answer:
    """A leg splayed in one or two directions. Raises Refused when an option cannot be read or is out of range."""
    height = length(args.height, "--height")
    found = leaning_leg(height, angle(args.front, "--front"), angle(args.side, "--side"))
    figures = {
        **{"lean_deg": found.lean, "sight_line_deg": found.sight_line, "length_mm": found.length_mm},
        **{"front_mm": found.front_mm, "side_mm": found.side_mm},
    }
    lines = (
        f"The leg {leaning(found.lean)}, along a sight line {deg(found.sight_line)} from the front view.",
        *question(found.lean),
        f"{mm(found.length_mm)} long on its axis.",
        f"The foot stands {mm(found.front_mm)} out in the front view, {mm(found.side_mm)} in the side view.",
    )
    return Answer(figures, lines, SOURCE, f"leans up to 60°; {SAW}")


def slant_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options of `slant`."""
    parser.add_argument("--height", required=True, help="straight up")
    add_lean(parser, "of the side")


def slant(args: argparse.Namespace) -> Answer:
    """The width of a leaning side. Raises Refused when an option cannot be read or is out of range."""
    lean = lean_of(args)
    found = slant_height(length(args.height, "--height"), lean)
    lines = (f"A side that {leaning(lean)} is {mm(found)} wide along itself.", *question(lean))
    return Answer({"slant_mm": found}, lines, SOURCE, "leans up to 85°; exact")


COMMANDS = (
    Command("mitre", "saw settings for a box of equal sides, upright or splayed", mitre_arguments, mitre),
    Command("taper", "the angle of a taper", taper_arguments, taper_answer),
    Command("leg", "a leg splayed one or two ways", leg_arguments, leg),
    Command("slant", "the width of a leaning side", slant_arguments, slant),
)
