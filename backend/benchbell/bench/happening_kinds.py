"""The kinds of happenings, as happening_kinds.toml has them. Their fields are the structs of happenings.py.

The page has the same table: backend/build_page.py writes it.
"""

from importlib.resources import files

import msgspec
from msgspec import Struct


class HappeningRow(Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of happening.

    slot: the fields that name what it settles; in a slot the latest happening counts.
    sentence: tells it in the log and on every screen; see sentences.py.
    is_mark: it marks how far its operation is. follows: kinds of mark it must not stand before; where one of those
    was made later, this mark counts no longer.
    is_step: the operation's main button records it. button: the words on whatever button records the mark;
    hint: what to know before tapping it.
    is_remark: the state of a build does not depend on it. in_story: the page's histories tell it.
    """

    slot: tuple[str, ...]
    sentence: str
    is_mark: bool = False
    is_step: bool = False
    follows: tuple[str, ...] = ()
    button: str = ""
    hint: str = ""
    is_remark: bool = False
    in_story: bool = True


def read_happening_kinds() -> dict[str, HappeningRow]:
    """The table. Raises msgspec.ValidationError for a row not of its form."""
    text = files(__package__).joinpath("happening_kinds.toml").read_bytes()
    return msgspec.toml.decode(text, type=dict[str, HappeningRow])


HAPPENING_KINDS = read_happening_kinds()
