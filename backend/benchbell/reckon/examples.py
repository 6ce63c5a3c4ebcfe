"""An example of each subject, for its help."""

YEAR = "--now-humidity 45 --driest-humidity 30 --dampest-humidity 65"

EXAMPLES: dict[str, str] = {
    "emc": "--celsius 21.1 --humidity 50",
    "target": "--for furniture --reading 7 9 7.5",
    "species": "'hard maple'",
    "movement": "--species 'white oak' --cut flat --width '300 mm' --from-humidity 30 --to-humidity 70 --celsius 21.1",
    "slot": f"--species 'white oak' --from-fixed '400 mm' --screw '4.5 mm' {YEAR}",
    "panel": f"--species 'black cherry' --width '350 mm' {YEAR}",
    "drawer": "--species 'hard maple' --height '120 mm' --now-percent 8 --driest-percent 6 --dampest-percent 12",
    "glue": "--with pva-interior --celsius 12 --humidity 50",
    "glue-up": "--with pva-interior --celsius 20 --spread '6 min' --clamp-up '4 min'",
    "clamps": "--length '600 mm' --width '25 mm' --board '75 mm' --wood 'hard maple' --clamp 'heavy F'",
    "finish": "--with hardwax-oil --celsius 16 --humidity 50",
    "mitre": "--sides 4 --slope 52",
    "taper": "--offset '20 mm' --length '600 mm'",
    "leg": "--height '430 mm' --front '10 deg' --side '6 deg'",
    "slant": "--height '100 mm' --lean 15",
    "rim-speed": "--cutter 'circular saw' --diameter '250 mm' --rpm 4000",
    "cutter-speed": "--cutter 'router bit' --diameter '45 mm' --rim 70",
    "router-speed": "--diameter '1 1/2 in'",
    "noise": "--spell 95 4 --spell 90 2",
    "board-feet": "--thickness '1 in' --width '6 in' --length '8 ft'",
    "surfaced": "'hardwood 4/4'",
    "weight": "--species 'hard maple' --thickness '25 mm' --width '200 mm' --length '1 m'",
}
"""By subject, its arguments."""
