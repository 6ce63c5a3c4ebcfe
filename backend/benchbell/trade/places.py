"""Where a piece will live, from the mildest place to the harshest."""

from typing import Literal, get_args

Place = Literal["indoors", "damp", "outdoors"]
"""indoors: dry rooms. damp: bathrooms, and outdoors under a roof. outdoors: in rain and sun."""

HARSHER: tuple[Place, ...] = get_args(Place)


WORDS: dict[Place, str] = {"indoors": "indoors", "damp": "in damp rooms or under a roof", "outdoors": "outdoors"}
"""A place in a sentence, after "good" or "lives"."""


def stands(good_for: Place, lives: Place) -> bool:
    """Whether what is good for one place stands another: what stands a harsh one stands every milder one."""
    return HARSHER.index(good_for) >= HARSHER.index(lives)
