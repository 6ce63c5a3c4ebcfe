"""Arithmetic over named sizes: a formula checked once, as a postfix list that any twin can evaluate.

Postfix items: numbers in base units, "@name" for a size, and the names in arithmetic.ARITHMETIC.
`2 * (leg + 5 mm)` gives 2, "@leg", 5, "+", "*". Nothing is ever handed to Python to run.
Twin of `evaluate` and `names_in`: pwa/src/recipe/formula.ts; compiling stays here.
"""

from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from typing import Protocol

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.arithmetic import ARITHMETIC, MOST_POWER, CannotReckon, finite
from benchbell.recipe.dimensions import FUNCTIONS, OPERATORS, Mismatch, Rule, to_power
from benchbell.recipe.measure import NUMBER, Dim
from benchbell.recipe.tokens import BadFormula, Token, tokens_of

__all__ = ["BadFormula", "CannotReckon", "Compiled", "Macro", "compile_formula", "evaluate", "fill", "names_in"]

Postfix = tuple[float | str, ...]

MOST_NESTING = 50
MOST_STEPS = 2000  # of a trade function, which may repeat its arguments
BINDING = {"+": 1, "-": 1, "*": 2, "/": 2}  # a sign binds tighter than these, a power tighter than a sign


class Compiled(Struct, frozen=True):
    """A checked formula: what to reckon, and what kind of thing comes out."""

    postfix: Postfix
    dim: Dim

    @property
    def names(self) -> frozenset[str]:
        """The sizes it uses."""
        return names_in(self.postfix)


class Macro(Protocol):
    """A trade function: turned into plain arithmetic when the recipe is compiled.

    Gets its arguments in order: a formula compiled, or the text between quotes.
    Raises Refused, which compile_formula repeats with the column. `fill` helps to build the answer.
    """

    def __call__(self, arguments: Sequence[Compiled | str]) -> Compiled:
        """The arithmetic this call stands for."""
        ...


def compile_formula(text: str, dims: Mapping[str, Dim], functions: Mapping[str, Macro] | None = None) -> Compiled:
    """A formula such as `(height - 1 3/4 in) / cos(splay)`, checked.

    dims: the sizes it may use and their kinds. functions: trade functions by name.
    Raises BadFormula, with the column and a next step.
    """
    reader = Reader(text, dims, functions or {})
    compiled = reader.sum_of(least=0, depth=0)
    reader.expect("end", "")
    return compiled


def fill(frame: Compiled, parts: Mapping[str, Compiled]) -> Compiled:
    """A formula in which the named sizes are replaced by formulas of their own."""
    filled: list[float | str] = []
    for item in frame.postfix:
        part = parts.get(item[1:]) if isinstance(item, str) and item.startswith("@") else None
        filled += part.postfix if part else [item]
    return Compiled(tuple(filled), frame.dim)


def names_in(postfix: Iterable[float | str]) -> frozenset[str]:
    """The names of the sizes that a postfix list uses."""
    return frozenset(item[1:] for item in postfix if isinstance(item, str) and item.startswith("@"))


def evaluate(postfix: Sequence[float | str], sizes: Mapping[str, float]) -> float:
    """What a postfix list is worth, in base units, when the named sizes have these values.

    Raises CannotReckon for a size without a value, a division by zero, a root of a negative and the like,
    and for whatever is no finite number.
    """
    stack: list[float] = []
    for item in postfix:
        if not isinstance(item, str):
            stack.append(finite(float(item)))
        elif item.startswith("@"):
            stack.append(finite(size_of(item[1:], sizes)))
        else:
            stack.append(finite(apply(item, stack)))
    if len(stack) != 1:
        raise CannotReckon("The formula does not come to one number.", "Compile the recipe again.")
    return stack[0] + 0.0


def size_of(name: str, sizes: Mapping[str, float]) -> float:
    """The value of a size. Raises CannotReckon when there is none."""
    if name not in sizes:
        raise CannotReckon(f"Size {name} has no value yet.", "Measure it, or give it a planned value.")
    return float(sizes[name])


def apply(name: str, stack: list[float]) -> float:
    """The result of an operation on the top of the stack, which it takes away."""
    if name not in ARITHMETIC:
        raise CannotReckon(f"The operation {name} is not known here.", "Load the newest page.")
    operands, operation = ARITHMETIC[name]
    if len(stack) < operands:
        raise CannotReckon(f"The operation {name} lacks a number.", "Compile the recipe again.")
    taken = stack[-operands:]
    del stack[-operands:]
    return operation(*taken)


class Reader:
    """Reads a formula from left to right, and tells by binding strength what belongs together."""

    def __init__(self, text: str, dims: Mapping[str, Dim], functions: Mapping[str, Macro]) -> None:
        """Cut the text into tokens and stand before the first."""
        self.text = text
        self.dims = dims
        self.functions = functions
        self.tokens = tokens_of(text)
        self.at = 0

    @property
    def here(self) -> Token:
        """The token not yet read."""
        return self.tokens[self.at]

    @property
    def mark(self) -> str:
        """The operator, parenthesis or comma not yet read; "" when something else stands here."""
        return self.here.text if self.here.kind == "mark" else ""

    def take(self) -> Token:
        """Read one token; the end stays."""
        token = self.here
        self.at = min(self.at + 1, len(self.tokens) - 1)
        return token

    def expect(self, kind: str, text: str) -> None:
        """Read the wanted token, or say what stands there instead."""
        token = self.take()
        if (token.kind, token.text) != (kind, text):
            wanted = f"“{text}”" if text else "the end or an operator"
            next_step = "Write decimals with a point." if token.text == "," else "Put an operator between."
            raise self.bad(token, f"{described(token)} stands where {wanted} is wanted.", next_step)

    def bad(self, token: Token, what: str, next_step: str) -> BadFormula:
        """The exception for what is wrong at a token."""
        return BadFormula(self.text, token.column, what, next_step)

    def sum_of(self, least: int, depth: int) -> Compiled:
        """Operands joined by operators that bind tighter than `least`."""
        left = self.signed(depth)
        while (strength := BINDING.get(self.mark, 0)) > least:
            operator = self.take()
            if operator.text == "/" and self.here.fraction:
                raise self.bad(self.here, "it is unclear what is divided.", f"Write ({self.here.text}).")
            right = self.sum_of(strength, depth)
            left = self.joined(operator, operator.text, OPERATORS[operator.text], [left, right])
        return left

    def signed(self, depth: int) -> Compiled:
        """An operand with its sign and power: -2^2 is -4."""
        if depth > MOST_NESTING:
            raise self.bad(self.here, f"it is nested deeper than {MOST_NESTING}.", "Name parts of it as sizes.")
        if self.mark not in ("-", "+"):
            return self.powered(depth)
        negative = self.take().text == "-"
        operand = self.signed(depth + 1)
        return Compiled((*operand.postfix, "neg"), operand.dim) if negative else operand

    def powered(self, depth: int) -> Compiled:
        """An operand, perhaps raised to a whole power."""
        first = self.here
        operand = self.operand(depth)
        if self.mark != "^":
            return operand
        if first.kind == "size" and first.quantity.dim != NUMBER:
            raise self.bad(self.here, "a power after a unit is unclear.", f"Write ({first.text})^2.")
        self.take()
        negative = self.mark == "-" and bool(self.take())
        exponent = self.take()
        value = exponent.quantity.value
        if exponent.kind != "size" or exponent.quantity.dim != NUMBER or value % 1 or value > MOST_POWER:
            raise self.bad(exponent, f"{described(exponent)} is no whole power.", f"Use -{MOST_POWER} to {MOST_POWER}.")
        if self.mark == "^":
            raise self.bad(self.here, "a power of a power is unclear.", "Put the first in parentheses.")
        whole = -value if negative else value
        return Compiled((*operand.postfix, whole, "^"), to_power(operand.dim, int(whole)))

    def operand(self, depth: int) -> Compiled:
        """A size, a named size, a function's value, or a formula in parentheses."""
        token = self.take()
        if token.kind == "size":
            return Compiled((token.quantity.value,), token.quantity.dim)
        if token.kind == "name" and self.mark == "(":
            return self.call(token, self.arguments(depth + 1))
        if token.kind == "name":
            return Compiled((f"@{token.text}",), self.dim_of(token))
        if (token.kind, token.text) != ("mark", "("):
            raise self.bad(token, f"{described(token)} stands where a size is wanted.", "Write a size or a name.")
        inside = self.sum_of(0, depth + 1)
        self.expect("mark", ")")
        return inside

    def arguments(self, depth: int) -> list[Compiled | str]:
        """What stands between a function's parentheses."""
        self.expect("mark", "(")
        found: list[Compiled | str] = []
        while self.mark != ")":
            if found:
                self.expect("mark", ",")
            found.append(self.take().text if self.here.kind == "text" else self.sum_of(0, depth))
        self.take()
        return found

    def call(self, token: Token, arguments: list[Compiled | str]) -> Compiled:
        """The value of a function, built in or of the trade."""
        if token.text in self.functions:
            return self.expanded(token, arguments)
        if token.text not in FUNCTIONS:
            raise self.unknown(token, "function", [*FUNCTIONS, *self.functions])
        least, most, rule = FUNCTIONS[token.text]
        values = [argument for argument in arguments if isinstance(argument, Compiled)]
        if len(values) != len(arguments):
            raise self.bad(token, f"{token.text} takes no text in quotes.", "Write a size or a name.")
        if not least <= len(values) <= most:
            wanted = str(least) if least == most else f"{least} to {most}"
            raise self.bad(token, f"{token.text} has {len(values)} arguments.", f"Give it {wanted}.")
        return self.joined(token, token.text, rule, values)

    def expanded(self, token: Token, arguments: list[Compiled | str]) -> Compiled:
        """The plain arithmetic a trade function stands for."""
        try:
            compiled = self.functions[token.text](arguments)
        except Refused as error:
            raise self.bad(token, error.what, error.next_step) from error
        if len(compiled.postfix) > MOST_STEPS:
            raise self.bad(token, f"{token.text} comes to more than {MOST_STEPS} steps.", "Name parts of it as sizes.")
        return compiled

    def joined(self, token: Token, name: str, rule: Rule, parts: Sequence[Compiled]) -> Compiled:
        """Operands followed by their operation; more than two are joined pair by pair."""
        try:
            dim = rule(name, [part.dim for part in parts])
        except Mismatch as error:
            raise self.bad(token, error.what, error.next_step) from error
        postfix = [*parts[0].postfix] + ([name] if len(parts) == 1 else [])
        for part in parts[1:]:
            postfix += [*part.postfix, name]
        return Compiled(tuple(postfix), dim)

    def dim_of(self, token: Token) -> Dim:
        """The kind of a named size."""
        if token.text not in self.dims:
            raise self.unknown(token, "size", list(self.dims))
        return self.dims[token.text]

    def unknown(self, token: Token, kind: str, known: list[str]) -> BadFormula:
        """What to say about a name that is not known."""
        close = get_close_matches(token.text, known, n=1)
        next_step = (
            f"Write {close[0]}, if that is meant."
            if close
            else f"Use one of: {', '.join(sorted(known)[:12]) or 'none'}."
        )
        return self.bad(token, f"there is no {kind} named {token.text}.", next_step)


def described(token: Token) -> str:
    """A token as a sentence names it."""
    return "the end" if token.kind == "end" else f"“{token.text}”"
