"""What can keep an operation from starting earlier. Times in minutes."""

from typing import Literal

from msgspec import Struct

What = Literal[
    "wait", "clock", "station", "clamps", "closing", "follow", "wanted", "away", "left", "begun", "dust", "wet", "hurry"
]
"""wait: a minimal lag after `ops`; clock: it is ready only then; station: `ops` stand there until then; clamps: `ops`
give them back; closing: it would not be done then; follow, wanted: `ops` must or should come soon after it, and begun
at once they would have to while the shop is closed; away: nobody else may use its station, and who may comes only then.
Faults of craft: left, begun: `until` minutes of it would be left over at closing, or done before; dust: it would spoil
`ops`, wet until then; wet: it would be wet beside the dust of `ops`; hurry: it would end just before closing."""


class Kept(Struct, frozen=True):
    """What keeps an operation, until when, and which operations it concerns. kinds: of clamps or fixtures.

    until: of "follow" and "wanted" the minutes within which these follow; of "left" and "begun" minutes of work.
    """

    what: What
    until: int
    ops: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
