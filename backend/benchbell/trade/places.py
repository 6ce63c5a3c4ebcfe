"""Where a piece will live, from the mildest place to the harshest."""

from typing import Literal, get_args

Place = Literal["indoors", "damp", "outdoors"]
"""indoors: dry rooms. damp: bathrooms, and outdoors under a roof. outdoors: in rain and sun."""

HARSHER: tuple[Place, ...] = get_args(Place)


def stands(good_for: Place, lives: Place) -> bool:
    """Whether what is good for one place stands another: what stands a harsh one stands every milder one."""
    return HARSHER.index(good_for) >= HARSHER.index(lives)
