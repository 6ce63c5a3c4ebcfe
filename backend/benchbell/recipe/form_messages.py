"""Values, forms and next steps in words, for the errors in a recipe's form."""

from typing import Any

import msgspec.inspect as kinds

from benchbell.recipe.finding_list import shortened
from benchbell.recipe.toml_positions import Path


def value_text(value: Any) -> str:
    """A value in words: the text “…”, a number, a list, a table."""
    if isinstance(value, str):
        return f"the text “{shortened(value)}”"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return shortened(f"{value}")
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a table"
    return "a date or time of day"


def form_text(form: kinds.Type) -> str:
    """A form in words, to follow "not": text, a whole number from 1 to 12, “mm” or “in”."""
    if isinstance(form, kinds.UnionType):
        return " or ".join(form_text(member) for member in form.types)
    if isinstance(form, kinds.LiteralType):
        return " or ".join(f"“{value}”" for value in form.values if value)
    if isinstance(form, kinds.IntType | kinds.FloatType):
        return number_text(form)
    words = {kinds.StrType: "text", kinds.BoolType: "true or false", kinds.ListType: "a list"}
    return words.get(type(form), "a table")


def number_text(form: kinds.IntType | kinds.FloatType) -> str:
    """A number's form in words, with its bounds."""
    kind = "a whole number" if isinstance(form, kinds.IntType) else "a number"
    least = f"above {form.gt:g} and up to" if form.gt is not None else f"from {form.ge:g} to"
    return f"{kind} {least} {form.le:g}"


def next_step_for(value: Any, form: kinds.Type, path: Path) -> str:
    """An order: how to write the value instead."""
    first = form.types[0] if isinstance(form, kinds.UnionType) else form  # the simplest variant is the first
    name = next(step for step in reversed(path) if isinstance(step, str))
    if isinstance(first, kinds.StrType) and isinstance(value, int | float) and not isinstance(value, bool):
        return "Write it in quotes" + (f', with its unit: "{value} mm" or "{value} in".' if "size" in path else ".")
    if isinstance(first, kinds.LiteralType):
        return "Write one of these."
    if isinstance(first, kinds.ListType) and isinstance(value, str):
        return f'Write {name} = ["{shortened(value)}"].'
    return f"Write it like {sample_entry(name, first)}."


def sample_entry(name: str, form: kinds.Type) -> str:
    """How a key of that form is written in TOML, with a sample value."""
    if isinstance(form, kinds.UnionType):
        return sample_entry(name, form.types[0])
    if isinstance(form, kinds.ListType) and isinstance(form.item_type, kinds.StructType):
        return f"[[{name}]]"
    words = {kinds.StrType: '"…"', kinds.BoolType: "true", kinds.IntType: "2", kinds.FloatType: "1.5"}
    words |= {kinds.ListType: '["…", "…"]'}
    return f"{name} = {words.get(type(form), '{ … }')}"
