"""The names of a fragment as the recipe that uses it knows them: `front` is `upper-front`, `width` is `upper_width`."""

from itertools import pairwise
from typing import Any

from benchbell.findings import Refused
from benchbell.recipe.text_roles import Role
from benchbell.recipe.tokens import tokens_of


def size_prefix(prefix: str) -> str:
    """What stands in front of a size's name; prefix: what stands in front of an id, such as "upper-"."""
    return prefix.replace("-", "_")


def prefixed(text: str, role: Role, prefix: str) -> Any:
    """A text with the names in it as the recipe knows them."""
    if role == "name":
        return prefix + text
    if role == "size":
        return size_prefix(prefix) + text
    return prefixed_formula(text, size_prefix(prefix)) if role == "formula" else text


def prefixed_formula(formula: str, prefix: str) -> str:
    """A formula with `prefix` in front of every size. A wrong one stays as it is: compiling it gives the finding."""
    if not prefix:
        return formula
    try:
        tokens = tokens_of(formula)
    except Refused:
        return formula
    columns = [one.column for one, following in pairwise(tokens) if one.kind == "name" and following.text != "("]
    for column in reversed(columns):
        formula = f"{formula[: column - 1]}{prefix}{formula[column - 1 :]}"
    return formula
