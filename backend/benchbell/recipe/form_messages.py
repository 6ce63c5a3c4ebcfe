"""What was met and what is wanted, in words, when a recipe's table has not the right form."""

from typing import Any

import msgspec.inspect as kinds

from benchbell.recipe.notes import shortened
from benchbell.recipe.toml_positions import Path


def met(value: Any) -> str:
    """A value as a sentence names it."""
    if isinstance(value, str):
        return f"the text “{shortened(value)}”"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return shortened(f"{value}")
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a table"
    return "a date or time of day"


def wanted(form: kinds.Type) -> str:
    """A form as a sentence wishes for it."""
    if isinstance(form, kinds.UnionType):
        return " or ".join(wanted(member) for member in form.types)
    if isinstance(form, kinds.LiteralType):
        return " or ".join(f"“{value}”" for value in form.values if value)
    if isinstance(form, kinds.IntType | kinds.FloatType):
        return number_wanted(form)
    words = {kinds.StrType: "text", kinds.BoolType: "true or false", kinds.ListType: "a list"}
    return words.get(type(form), "a table")


def number_wanted(form: kinds.IntType | kinds.FloatType) -> str:
    """A number's bounds."""
    kind = "a whole number" if isinstance(form, kinds.IntType) else "a number"
    least = f"above {form.gt:g} and up to" if form.gt is not None else f"from {form.ge:g} to"
    return f"{kind} {least} {form.le:g}"


def next_step_for(value: Any, form: kinds.Type, path: Path) -> str:
    """How to write it instead."""
    first = form.types[0] if isinstance(form, kinds.UnionType) else form  # the plain way stands first
    name = next(step for step in reversed(path) if isinstance(step, str))
    if isinstance(first, kinds.StrType) and isinstance(value, int | float) and not isinstance(value, bool):
        return "Write it in quotes" + (f', with its unit: "{value} mm".' if "size" in path else ".")
    if isinstance(first, kinds.LiteralType):
        return "Write one of these."
    if isinstance(first, kinds.ListType) and isinstance(value, str):
        return f'Write {name} = ["{shortened(value)}"].'
    return f"Write it like {sample(name, first)}."


def sample(name: str, form: kinds.Type) -> str:
    """How a key of that form is written in TOML."""
    if isinstance(form, kinds.UnionType):
        return sample(name, form.types[0])
    if isinstance(form, kinds.ListType) and isinstance(form.item_type, kinds.StructType):
        return f"[[{name}]]"
    words = {kinds.StrType: '"…"', kinds.BoolType: "true", kinds.IntType: "2", kinds.FloatType: "1.5"}
    words |= {kinds.ListType: '["…", "…"]'}
    return f"{name} = {words.get(type(form), '{ … }')}"
