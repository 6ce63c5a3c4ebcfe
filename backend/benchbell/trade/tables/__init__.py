"""The trade's tables: one TOML file each, with a grade and a source in every row."""

import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from importlib.resources import files
from typing import Any, Literal, TypeVar

import msgspec

from benchbell.findings import UnknownName, did_you_mean

Grade = Literal["source", "from memory", "common practice, no source"]

T = TypeVar("T")


def read(table: str, row: type[T]) -> dict[str, T]:
    """The rows of a table by id, in the file's order. Each id goes into the row's field `id`."""
    text = files(__name__).joinpath(f"{table}.toml").read_text(encoding="utf-8")
    return {key: msgspec.convert({"id": key, **values}, row) for key, values in tomllib.loads(text).items()}


def named(rows: Mapping[str, T], kind: str, name: str) -> T:
    """The row of that id or other name, whatever its capitals. kind: of thing, such as "glue".

    Raises UnknownName, with the nearest names, without one.
    """
    if name in rows:
        return rows[name]
    by_name = ids_by_name(rows)
    wanted = name.strip().casefold()
    if wanted not in by_name:
        raise unknown(kind, name, by_name)
    return rows[by_name[wanted]]


def ids_by_name(rows: Mapping[str, Any]) -> dict[str, str]:
    """The id of the row that each id and each other name stands for, in small letters."""
    by_id = {id.casefold(): id for id in rows}
    return by_id | {name.casefold(): id for id, row in rows.items() for name in getattr(row, "also", ())}


def unknown(kind: str, name: str, by_name: Mapping[str, str]) -> UnknownName:
    """An exception for an unknown name, with the ids of the nearest names, or all ids when none is near."""
    near = list(dict.fromkeys(by_name[one] for one in get_close_matches(name.casefold(), by_name, n=3)))
    hint = did_you_mean(near) if near else f"Use one of: {'; '.join(dict.fromkeys(by_name.values()))}."
    return UnknownName(f'No {kind} is called "{name}".', hint)
