"""Whether a table read from TOML has the form of a recipe: every misfit at once, in words a maker knows."""

import re
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

import msgspec.inspect as kinds
from msgspec import Struct

from benchbell.recipe.form_messages import met, next_step_for, sample, wanted
from benchbell.recipe.notes import shortened
from benchbell.recipe.toml_positions import Path

PATTERNS = {
    r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$": ("small letters, digits and hyphens", "Write it like leg or front-rail."),
    r"^[a-z][a-z0-9_]*$": ("small letters, digits and underscores", "Write it like leg or rail_width."),
}
"""What a name may consist of, and how to write it."""


class Misfit(Struct, frozen=True):
    """What does not fit, where, and what to do. what: goes on from the thing's name, as in "is 3, wanted is text"."""

    path: Path
    what: str
    next_step: str


def misfits(value: Any, form: kinds.Type, path: Path = ()) -> Iterator[Misfit]:
    """All places where a value is not of its form. form: from msgspec.inspect.type_info."""
    form = meant(value, form)
    if not is_kind(value, form):
        yield Misfit(path, f"is {met(value)}, wanted is {wanted(form)}.", next_step_for(value, form, path))
    elif isinstance(form, kinds.StructType):
        yield from in_struct(value, form, path)
    elif isinstance(form, kinds.DictType):
        yield from in_dict(value, form, path)
    elif isinstance(form, kinds.ListType):
        yield from in_list(value, form, path)
    elif isinstance(form, kinds.StrType):
        yield from in_text(value, form, path)
    elif isinstance(form, kinds.IntType | kinds.FloatType) and not in_range(value, form):
        yield Misfit(path, f"is {met(value)}, wanted is {wanted(form)}.", "Correct the number.")


def meant(value: Any, form: kinds.Type) -> kinds.Type:
    """The form without its description; of several, the one that a value of its kind was meant for."""
    if isinstance(form, kinds.Metadata):
        return meant(value, form.type)
    if not isinstance(form, kinds.UnionType):
        return form
    members = [meant(value, member) for member in form.types if not isinstance(member, kinds.NoneType)]
    whole = members[0] if len(members) == 1 else kinds.UnionType(tuple(members))
    return next((member for member in members if is_kind(value, member)), whole)


def is_kind(value: Any, form: kinds.Type) -> bool:
    """Whether a value is of the right kind, whatever is in it."""
    if isinstance(form, kinds.LiteralType):
        return isinstance(value, str) and value in form.values
    if isinstance(form, kinds.BoolType):
        return isinstance(value, bool)
    if isinstance(form, kinds.FloatType | kinds.IntType):
        number = int | float if isinstance(form, kinds.FloatType) else int
        return isinstance(value, number) and not isinstance(value, bool)
    if isinstance(form, kinds.StructType | kinds.DictType):
        return isinstance(value, dict)
    return isinstance(value, {kinds.StrType: str, kinds.ListType: list}.get(type(form), ()))


def in_struct(value: dict[str, Any], form: kinds.StructType, path: Path) -> Iterator[Misfit]:
    """Keys missing, keys not known, and what is wrong inside the others."""
    fields = {field.encode_name: field for field in form.fields}
    for name, field in fields.items():
        if name in value:
            yield from misfits(value[name], field.type, (*path, name))
        elif field.required:
            yield Misfit(path, f"has no “{name}”.", f"Add {sample(name, meant(None, field.type))}.")
    for name in value:
        if name not in fields:
            near = get_close_matches(name, fields, n=1)
            next_step = f"Write {near[0]}, if that is meant." if near else "Take it out, or make it a comment."
            yield Misfit((*path, name), "has no meaning there.", next_step)


def in_dict(value: dict[str, Any], form: kinds.DictType, path: Path) -> Iterator[Misfit]:
    """Names and values of a table whose names the maker chooses."""
    yield from in_length(value, form, path)
    for name, one in value.items():
        yield from misfits(name, form.key_type, (*path, name))
        yield from misfits(one, form.value_type, (*path, name))


def in_list(value: list[Any], form: kinds.ListType, path: Path) -> Iterator[Misfit]:
    """The list's length, and what is wrong in its rows."""
    yield from in_length(value, form, path)
    for number, one in enumerate(value[: form.max_length]):
        yield from misfits(one, form.item_type, (*path, number))


def in_text(value: str, form: kinds.StrType, path: Path) -> Iterator[Misfit]:
    """A text's length and characters."""
    if len(value) < (form.min_length or 0):
        yield Misfit(path, "is empty.", "Write something, or take it out.")
    elif form.max_length is not None and len(value) > form.max_length:
        what = f"has {len(value)} characters, wanted are {form.max_length} at most."
        yield Misfit(path, what, "Say it in fewer words.")
    elif form.pattern is not None and not re.fullmatch(form.pattern, value):
        allowed, next_step = PATTERNS[form.pattern]
        yield Misfit(path, f"is “{shortened(value)}”, wanted are {allowed}.", next_step)


def in_length(value: Any, form: kinds.ListType | kinds.DictType, path: Path) -> Iterator[Misfit]:
    """Too few or too many rows."""
    if len(value) < (form.min_length or 0):
        yield Misfit(path, f"has {len(value)} entries, wanted is {form.min_length} at least.", "Add one.")
    elif form.max_length is not None and len(value) > form.max_length:
        what = f"has {len(value)} entries, wanted are {form.max_length} at most."
        yield Misfit(path, what, "Split the recipe.")


def in_range(value: float, form: kinds.IntType | kinds.FloatType) -> bool:
    """Whether a number is inside its bounds; NaN never is."""
    above = form.gt is None or value > form.gt
    return above and (form.ge is None or value >= form.ge) and (form.le is None or value <= form.le)
