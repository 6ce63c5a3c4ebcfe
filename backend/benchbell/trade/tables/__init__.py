"""The trade's tables: one TOML file each, with a grade and a source in every row."""

import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from importlib.resources import files
from typing import Literal, TypeVar

import msgspec

from benchbell.findings import UnknownName

Grade = Literal["source", "from memory", "common practice, no source"]

T = TypeVar("T")


def read(table: str, row: type[T]) -> dict[str, T]:
    """The rows of a table by id, in the file's order. Each id goes into the row's field `id`."""
    text = files(__name__).joinpath(f"{table}.toml").read_text(encoding="utf-8")
    return {key: msgspec.convert({"id": key, **values}, row) for key, values in tomllib.loads(text).items()}


def named(rows: Mapping[str, T], kind: str, name: str) -> T:
    """The row of that name. kind: of thing, such as "glue". Raises UnknownName, with the nearest names, without one."""
    if name in rows:
        return rows[name]
    raise unknown(kind, name, list(rows))


def unknown(kind: str, name: str, known: list[str]) -> UnknownName:
    """An exception for an unknown name, with the nearest names, or all names when none is near."""
    near = get_close_matches(name.casefold(), known, n=3, cutoff=0.5) or known
    return UnknownName(f'No {kind} is called "{name}".', f"Use one of: {'; '.join(near)}.")
