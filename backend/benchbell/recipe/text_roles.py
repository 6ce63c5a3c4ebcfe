"""What each text of a recipe stands for: its role, from the types in text_types.py.

A name is an id of the recipe; a size is a named size; a formula and a condition use named sizes; a number is a text
where the language wants a number, and is a formula too; a place is where a part lies; words are for people.
"""

from collections.abc import Callable
from typing import Any, Literal

import msgspec.inspect as kinds

from benchbell.recipe.form import NUMBERS, is_kind, variant_for
from benchbell.recipe.toml_positions import Path

Role = Literal["name", "size", "formula", "place", "condition", "number", "words"]

Change = Callable[[str, Role, Path], Any]
"""What takes the place of a text, given its role and its place."""


Visit = Callable[[Any, Change, Path], Any]
"""Changes all texts of a value of one form; the path is the value's place."""

_visits: dict[tuple[int, Role], tuple[kinds.Type, Visit]] = {}


def with_texts(value: Any, form: kinds.Type, change: Change) -> Any:
    """A value of a recipe with every text in it changed, and nothing else. form: from msgspec.inspect.type_info."""
    return visit_of(form)(value, change, ())


def visit_of(form: kinds.Type, role: Role = "words") -> Visit:
    """How to visit values of a form. Made once for each: a recipe is visited often. role: of a text that it may be."""
    while isinstance(form, kinds.Metadata):
        role = (form.extra or {}).get("role", role)
        form = form.type
    kept = _visits.get((id(form), role))
    if kept is None:
        kept = _visits[id(form), role] = (form, new_visit(form, role))
    return kept[1]


def new_visit(form: kinds.Type, role: Role) -> Visit:
    """How to visit values of a form without its description."""
    if isinstance(form, kinds.UnionType):
        return visit_of_union(form, role)
    inside = new_visit_inside(form)
    own: Role = "number" if type(form) in NUMBERS else role

    def visit(value: Any, change: Change, path: Path) -> Any:
        if isinstance(value, str):
            return change(value, own, path)
        return inside(value, change, path) if inside else value

    return visit


def new_visit_inside(form: kinds.Type) -> Visit | None:
    """How to visit what is inside values of a form; None when nothing is."""
    if isinstance(form, kinds.StructType):
        visits = {field.encode_name: visit_of(field.type) for field in form.fields}

        def in_struct(value: Any, change: Change, path: Path) -> Any:
            if not isinstance(value, dict):
                return value
            return {k: visits[k](v, change, (*path, k)) if k in visits else v for k, v in value.items()}

        return in_struct
    if isinstance(form, kinds.DictType):
        key, one = visit_of(form.key_type), visit_of(form.value_type)

        def in_dict(value: Any, change: Change, path: Path) -> Any:
            if not isinstance(value, dict):
                return value
            return {key(k, change, (*path, k)): one(v, change, (*path, k)) for k, v in value.items()}

        return in_dict
    if isinstance(form, kinds.ListType):
        item = visit_of(form.item_type)

        def in_list(value: Any, change: Change, path: Path) -> Any:
            if not isinstance(value, list):
                return value
            return [item(one, change, (*path, n)) for n, one in enumerate(value)]

        return in_list
    return None


def visit_of_union(form: kinds.UnionType, role: Role) -> Visit:
    """How to visit values of one of several forms; a text where only a number may stand is a number."""
    members = [(one, visit_of(one, role)) for one in form.types]

    def visit(value: Any, change: Change, path: Path) -> Any:
        for one, of_member in members:
            if is_kind(value, variant_for(value, one)):
                return of_member(value, change, path)
        wants_number = any(type(variant_for(value, one)) in NUMBERS for one in form.types)
        return change(value, "number", path) if wants_number and isinstance(value, str) else value

    return visit
