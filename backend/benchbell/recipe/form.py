"""Whether a table read from TOML has the form of a recipe: all errors at once, in a maker's words."""

import re
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

import msgspec.inspect as kinds
from msgspec import Struct

from benchbell.findings import counted, did_you_mean
from benchbell.recipe.finding_list import shortened
from benchbell.recipe.form_messages import form_text, next_step_for, sample_entry, value_text
from benchbell.recipe.toml_positions import Path

PATTERNS = {
    r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$": ("small letters, digits and hyphens", "Write it like leg or front-rail."),
    r"^[a-z][a-z0-9_]*$": ("small letters, digits and underscores", "Write it like leg or rail_width."),
}
"""By pattern of a name, the characters it may have and the next step."""


class FormError(Struct, frozen=True):
    """A value that has not its form. what: follows the name of the thing, as in "is 3, not text."."""

    path: Path
    what: str
    next_step: str


def form_errors(value: Any, form: kinds.Type, path: Path = ()) -> Iterator[FormError]:
    """Every place where a value has not its form. form: from msgspec.inspect.type_info."""
    form = variant_for(value, form)
    if not is_kind(value, form):
        yield FormError(path, f"is {value_text(value)}, not {form_text(form)}.", next_step_for(value, form, path))
    elif isinstance(form, kinds.StructType):
        yield from in_struct(value, form, path)
    elif isinstance(form, kinds.DictType):
        yield from in_dict(value, form, path)
    elif isinstance(form, kinds.ListType):
        yield from in_list(value, form, path)
    elif isinstance(form, kinds.StrType):
        yield from in_text(value, form, path)
    elif isinstance(form, kinds.IntType | kinds.FloatType) and not in_range(value, form):
        yield FormError(path, f"is {value_text(value)}, not {form_text(form)}.", "Correct the number.")


def variant_for(value: Any, form: kinds.Type) -> kinds.Type:
    """The form without its description; of a union, the variant that has the value's kind, or all of them."""
    if isinstance(form, kinds.Metadata):
        return variant_for(value, form.type)
    if not isinstance(form, kinds.UnionType):
        return form
    members = [variant_for(value, member) for member in form.types if not isinstance(member, kinds.NoneType)]
    whole = members[0] if len(members) == 1 else kinds.UnionType(tuple(members))
    return next((member for member in members if is_kind(value, member)), whole)


NUMBERS = frozenset({kinds.IntType, kinds.FloatType})
"""The forms of numbers."""

KINDS: dict[type[kinds.Type], type | tuple[type, ...]] = {
    kinds.StrType: str,
    kinds.ListType: list,
    kinds.StructType: dict,
    kinds.DictType: dict,
    kinds.BoolType: bool,
    kinds.IntType: int,
    kinds.FloatType: (int, float),
}
"""By form, the Python types that values of it have after reading TOML."""


def is_kind(value: Any, form: kinds.Type) -> bool:
    """Whether a value has the form's kind, whatever it contains."""
    if isinstance(form, kinds.LiteralType):
        return isinstance(value, str) and value in form.values
    kind = type(form)
    return isinstance(value, KINDS.get(kind, ())) and not (kind in NUMBERS and isinstance(value, bool))


_fields: dict[int, tuple[kinds.StructType, dict[str, kinds.Field]]] = {}


def fields_of(form: kinds.StructType) -> dict[str, kinds.Field]:
    """The fields of a table's form by name. Kept: a recipe's form is one object, whose hash would take all of it."""
    kept = _fields.get(id(form))
    if kept is None:
        kept = _fields[id(form)] = (form, {field.encode_name: field for field in form.fields})
    return kept[1]


def in_struct(value: dict[str, Any], form: kinds.StructType, path: Path) -> Iterator[FormError]:
    """Missing keys, unknown keys, and the errors inside the others."""
    fields = fields_of(form)
    for name, field in fields.items():
        if name in value:
            yield from form_errors(value[name], field.type, (*path, name))
        elif field.required:
            yield FormError(path, f"has no “{name}”.", f"Add {sample_entry(name, variant_for(None, field.type))}.")
    for name in value:
        if name not in fields:
            near = get_close_matches(name, fields, n=1)
            next_step = did_you_mean(near) if near else "Take it out, or make it a comment."
            yield FormError((*path, name), "is not a key of the language.", next_step)


def in_dict(value: dict[str, Any], form: kinds.DictType, path: Path) -> Iterator[FormError]:
    """Errors in a table whose names the maker chooses."""
    yield from in_length(value, form, path)
    for name, one in value.items():
        yield from form_errors(name, form.key_type, (*path, name))
        yield from form_errors(one, form.value_type, (*path, name))


def in_list(value: list[Any], form: kinds.ListType, path: Path) -> Iterator[FormError]:
    """Errors in a list's length and in its items."""
    yield from in_length(value, form, path)
    for number, one in enumerate(value[: form.max_length]):
        yield from form_errors(one, form.item_type, (*path, number))


def in_text(value: str, form: kinds.StrType, path: Path) -> Iterator[FormError]:
    """Errors in a text's length and characters."""
    if len(value) < (form.min_length or 0):
        yield FormError(path, "is empty.", "Write something, or take it out.")
    elif form.max_length is not None and len(value) > form.max_length:
        what = f"has {len(value)} characters, more than {form.max_length}."
        yield FormError(path, what, "Shorten it.")
    elif form.pattern is not None and not re.fullmatch(form.pattern, value):
        allowed, next_step = PATTERNS[form.pattern]
        yield FormError(path, f"is “{shortened(value)}”, but may have only {allowed}.", next_step)


def in_length(value: Any, form: kinds.ListType | kinds.DictType, path: Path) -> Iterator[FormError]:
    """Too few or too many items."""
    if len(value) < (form.min_length or 0):
        yield FormError(path, f"has {entries(value)}, but needs at least {form.min_length}.", "Add one.")
    elif form.max_length is not None and len(value) > form.max_length:
        what = f"has {entries(value)}, more than {form.max_length}."
        yield FormError(path, what, "Split the recipe.")


def entries(value: Any) -> str:
    """How many entries a list or table has, in words."""
    return counted(len(value), "entry", "entries")


def in_range(value: float, form: kinds.IntType | kinds.FloatType) -> bool:
    """Whether a number is within the form's bounds; NaN never is."""
    above = form.gt is None or value > form.gt
    return above and (form.ge is None or value >= form.ge) and (form.le is None or value <= form.le)
