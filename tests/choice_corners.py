"""Every corner of a recipe's choices: each at its least and its most, yes and no, or each of its texts, in all ways.

Of many texts, such as all woods, the first and the last.
"""

from itertools import product

from benchbell.recipe.compiler import compile_text


def corners(text, file, fragments):
    """Answers at every corner, by name."""
    choices = compile_text(text, file, fragments=fragments).choices
    return [dict(zip([one.name for one in choices], answers, strict=True)) for answers in product(*map(ends, choices))]


def ends(choice):
    """The answers of one choice at its ends."""
    if choice.kind == "one-of":
        return choice.among if len(choice.among) < 6 else (choice.among[0], choice.among[-1])
    return ("no", "yes") if choice.kind == "yes-no" else tuple(end for end in (choice.least, choice.most) if end)
