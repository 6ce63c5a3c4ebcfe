"""What each text of a recipe stands for: its role, from the types in text_types.py.

A name is an id of the recipe; a size is a named size; a formula and a condition use named sizes; a number is a text
where the language wants a number, and is a formula too; a place is where a part lies; words are for people.
"""

from collections.abc import Callable
from typing import Any, Literal

import msgspec.inspect as kinds

from benchbell.recipe.form import NUMBERS, fields_of, is_kind, variant_for
from benchbell.recipe.toml_positions import Path

Role = Literal["name", "size", "formula", "place", "condition", "number", "words"]

Change = Callable[[str, Role, Path], Any]
"""What takes the place of a text, given its role and its place."""


def with_texts(value: Any, form: kinds.Type, change: Change, path: Path = (), role: Role = "words") -> Any:
    """A value of a recipe with every text in it changed, and nothing else. form: from msgspec.inspect.type_info."""
    while isinstance(form, kinds.Metadata):
        role = (form.extra or {}).get("role", role)
        form = form.type
    if isinstance(form, kinds.UnionType):
        member = next((one for one in form.types if is_kind(value, variant_for(value, one))), None)
        if member is not None:
            return with_texts(value, member, change, path, role)
        wants_number = any(is_number(variant_for(value, one)) for one in form.types)
        return change(value, "number", path) if wants_number and isinstance(value, str) else value
    if isinstance(value, str):
        return change(value, "number" if is_number(form) else role, path)
    if isinstance(form, kinds.StructType) and isinstance(value, dict):
        fields = fields_of(form)
        return {k: with_texts(v, fields[k].type, change, (*path, k)) if k in fields else v for k, v in value.items()}
    if isinstance(form, kinds.DictType) and isinstance(value, dict):
        return {
            with_texts(k, form.key_type, change, (*path, k)): with_texts(v, form.value_type, change, (*path, k))
            for k, v in value.items()
        }
    if isinstance(form, kinds.ListType) and isinstance(value, list):
        return [with_texts(one, form.item_type, change, (*path, n)) for n, one in enumerate(value)]
    return value


def is_number(form: kinds.Type) -> bool:
    """Whether a form is that of a number."""
    return type(form) in NUMBERS
