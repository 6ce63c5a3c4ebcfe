"""The form of each kind of happening, for the page to check what it reads.

By kind and field, a few words. The last is "text", "number" (at most MOST_VALUE, see recipe/measure.py), "whole",
"yes-no" or "any"; before it stands "map" for a mapping from text, "nullable" where it may be null, "optional" where it
may be left out. "lists a b" is a record in which a and b are lists.
"""

from typing import Any

from msgspec import inspect

from benchbell.bench.happenings import What

SCALARS: dict[type[inspect.Type], str] = {
    inspect.StrType: "text",
    inspect.FloatType: "number",
    inspect.IntType: "whole",
    inspect.BoolType: "yes-no",
    inspect.AnyType: "any",
}
LISTS = (inspect.ListType, inspect.VarTupleType)


def forms() -> dict[str, dict[str, str]]:
    """By kind and field, the form. Raises KeyError for a type that no form is written for."""
    kinds: Any = inspect.type_info(What)
    return {str(kind.tag): {field.encode_name: form_of(field) for field in kind.fields} for kind in kinds.types}


def form_of(field: inspect.Field) -> str:
    """The form of a field."""
    return form(field.type) if field.required else f"optional {form(field.type)}"


def form(type: inspect.Type) -> str:
    """The form of a type."""
    if isinstance(type, inspect.UnionType) and any(isinstance(one, inspect.NoneType) for one in type.types):
        (other,) = (one for one in type.types if not isinstance(one, inspect.NoneType))
        return f"nullable {form(other)}"
    if isinstance(type, inspect.DictType):
        return f"map {form(type.value_type)}"
    if isinstance(type, inspect.StructType):
        return " ".join(["lists", *(one.encode_name for one in type.fields if one.required and is_list(one.type))])
    return SCALARS[type.__class__]


def is_list(type: inspect.Type) -> bool:
    """Whether it is a list in JSON."""
    return isinstance(type, LISTS)
