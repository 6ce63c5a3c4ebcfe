"""The names of a fragment as the recipe that uses it knows them: `front` is `upper-front`, `width` is `upper_width`."""

from itertools import pairwise
from typing import Any

from benchbell.findings import Refused
from benchbell.recipe.placing_words import STARTS, split_place
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
    if role == "place":
        return prefixed_place(text, prefix)
    return prefixed_formula(text, prefix) if role == "formula" else text


def prefixed_place(text: str, prefix: str) -> str:
    """A place with the names in it as the recipe knows them: "on rail + up" becomes on upper-rail + …"""
    word, name, rest = split_place(text)
    formulas = rest.split(STARTS) if word == "row " else [rest]
    return f"{word}{prefix if name else ''}{name}{STARTS.join(prefixed_formula(one, prefix) for one in formulas)}"


def prefixed_formula(formula: str, prefix: str) -> str:
    """A formula with the prefix in front of every size and part. A wrong one stays as it is: compiling it tells."""
    if not prefix:
        return formula
    try:
        tokens = tokens_of(formula)
    except Refused:
        return formula
    pairs = [(one.kind, one.column) for one, following in pairwise(tokens) if following.text != "("]
    for kind, column in reversed(pairs):
        if kind in ("name", "face"):
            own = prefix if kind == "face" else size_prefix(prefix)
            formula = f"{formula[: column - 1]}{own}{formula[column - 1 :]}"
    return formula
