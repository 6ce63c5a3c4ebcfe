"""Formulas over named sizes: parsed and checked once, then evaluated as postfix lists by both twins.

Postfix items: numbers in base units, "@name" for a size or a part's face, and the names in arithmetic.ARITHMETIC.
`2 * (leg + 5 mm)` gives 2, "@leg", 5, "+", "*". Python never runs a formula as code.
Twin of `evaluate` and `names_in`: pwa/src/recipe/formula.ts. Only this side compiles.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

from msgspec import Struct

from benchbell.findings import Refused, counted, use_one_of
from benchbell.recipe.arithmetic import ARITHMETIC, MOST_POWER, CannotEvaluate, finite
from benchbell.recipe.dimensions import FUNCTIONS, OPERATORS, Mismatch, Rule, to_power
from benchbell.recipe.measure import NUMBER, Dim
from benchbell.recipe.tokens import FormulaError, Token, token_text, tokens_of
from benchbell.recipe.unit_slips import dashed_fraction, unit_slip

__all__ = [
    "CannotEvaluate",
    "Compiled",
    "FormulaError",
    "Macro",
    "compile_formula",
    "evaluate",
    "names_in",
    "substitute",
]

Postfix = tuple[float | str, ...]

MOST_NESTING = 50
MOST_STEPS = 2000  # postfix items of a trade function, which may repeat its arguments
PRECEDENCE = {"+": 1, "-": 1, "*": 2, "/": 2}  # then a sign, then a power


class Compiled(Struct, frozen=True):
    """A checked formula: its postfix list, and the kind of its value."""

    postfix: Postfix
    dim: Dim

    @property
    def names(self) -> frozenset[str]:
        """The names of the sizes it uses."""
        return names_in(self.postfix)


class Macro(Protocol):
    """A trade function, which the compiler replaces by plain arithmetic.

    Its arguments are compiled formulas, or texts that stood in quotes. It raises Refused when they do not fit;
    compile_formula repeats that as FormulaError with the column.
    """

    def __call__(self, arguments: Sequence[Compiled | str]) -> Compiled:
        """The arithmetic that replaces the call. Raises Refused when the arguments do not fit."""
        ...


def compile_formula(text: str, dims: Mapping[str, Dim], functions: Mapping[str, Macro] | None = None) -> Compiled:
    """Parse and check a formula such as `(height - 1 3/4 in) / cos(splay)`.

    dims: the sizes it may use and their kinds. functions: trade functions by name.
    Raises FormulaError when it cannot be parsed or its kinds do not go together.
    """
    parser = Parser(text, dims, functions or {})
    compiled = parser.expression(least=0, depth=0)
    parser.expect("end", "")
    return compiled


def substitute(formula: Compiled, replacements: Mapping[str, Compiled]) -> Compiled:
    """The formula with the named sizes in `replacements` replaced by formulas."""
    postfix: list[float | str] = []
    for item in formula.postfix:
        part = replacements.get(item[1:]) if isinstance(item, str) and item.startswith("@") else None
        postfix += part.postfix if part else [item]
    return Compiled(tuple(postfix), formula.dim)


def names_in(postfix: Iterable[float | str]) -> frozenset[str]:
    """The names of the sizes that a postfix list uses."""
    return frozenset(item[1:] for item in postfix if isinstance(item, str) and item.startswith("@"))


def evaluate(postfix: Sequence[float | str], sizes: Mapping[str, float]) -> float:
    """The value of a postfix list in base units. sizes: values of the named sizes in base units.

    Raises CannotEvaluate when a size has no value, an operation has none (such as a division by zero), or a
    number is not finite.
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
        raise CannotEvaluate("The formula does not give one number.", "Compile the recipe again.")
    return stack[0] + 0.0


def size_of(name: str, sizes: Mapping[str, float]) -> float:
    """The value of a size. Raises CannotEvaluate when it has none."""
    if name not in sizes:
        raise CannotEvaluate(f"Size {name} has no value yet.", "Measure it, or give it a planned value.")
    return float(sizes[name])


def apply(name: str, stack: list[float]) -> float:
    """The result of an operation on the top of the stack; its operands are removed.

    Raises CannotEvaluate when the operation is unknown, lacks an operand or has no value.
    """
    if name not in ARITHMETIC:
        raise CannotEvaluate(f"The operation {name} is not known.", "Load the newest page.")
    operands, operation = ARITHMETIC[name]
    if len(stack) < operands:
        raise CannotEvaluate(f"The operation {name} lacks a number.", "Compile the recipe again.")
    values = stack[-operands:]
    del stack[-operands:]
    return operation(*values)


class Parser:
    """A precedence-climbing parser: reads a formula from left to right and compiles it as it goes."""

    def __init__(self, text: str, dims: Mapping[str, Dim], functions: Mapping[str, Macro]) -> None:
        """Cut the text into tokens. Raises FormulaError when that fails."""
        self.text = text
        self.dims = dims
        self.functions = functions
        self.tokens = tokens_of(text)
        self.at = 0

    @property
    def current(self) -> Token:
        """The next token to read."""
        return self.tokens[self.at]

    @property
    def current_mark(self) -> str:
        """The next token's text when it is an operator, parenthesis or comma, otherwise ""."""
        return self.current.text if self.current.kind == "mark" else ""

    def advance(self) -> Token:
        """Read one token. The end token can be read again."""
        token = self.current
        self.at = min(self.at + 1, len(self.tokens) - 1)
        return token

    def expect(self, kind: str, text: str) -> None:
        """Read a token of that kind and text. Raises FormulaError when another one is there."""
        token = self.advance()
        if (token.kind, token.text) != (kind, text):
            if slip := unit_slip(self.text):
                raise FormulaError(self.text, *slip)
            expected = f"“{text}”" if text else "the end or an operator"
            next_step = "Write decimals with a point." if token.text == "," else "Put an operator between."
            raise self.error_at(token, f"{token_text(token)} is there instead of {expected}.", next_step)

    def error_at(self, token: Token, what: str, next_step: str) -> FormulaError:
        """An exception for what is wrong at a token."""
        return FormulaError(self.text, token.column, what, next_step)

    def expression(self, least: int, depth: int) -> Compiled:
        """Operands combined by operators of a precedence above `least`. depth: of nesting.

        Raises FormulaError when the text is no such expression.
        """
        left = self.unary(depth)
        while (precedence := PRECEDENCE.get(self.current_mark, 0)) > least:
            operator = self.advance()
            if operator.text == "/" and self.current.fraction:
                raise self.error_at(self.current, "it is unclear what is divided.", f"Write ({self.current.text}).")
            right = self.expression(precedence, depth)
            left = self.combined(operator, operator.text, OPERATORS[operator.text], [left, right])
        return left

    def unary(self, depth: int) -> Compiled:
        """An operand with its sign: -2^2 is -4. Raises FormulaError when it is nested too deeply or wrong."""
        if depth > MOST_NESTING:
            raise self.error_at(self.current, f"it is nested deeper than {MOST_NESTING}.", "Name parts of it as sizes.")
        if self.current_mark not in ("-", "+"):
            return self.power(depth)
        negative = self.advance().text == "-"
        operand = self.unary(depth + 1)
        return Compiled((*operand.postfix, "neg"), operand.dim) if negative else operand

    def power(self, depth: int) -> Compiled:
        """An operand, with a whole power if one follows. Raises FormulaError when the power is unclear or not whole."""
        first = self.current
        operand = self.operand(depth)
        if self.current_mark != "^":
            return operand
        if first.kind == "size" and first.quantity.dim != NUMBER:
            raise self.error_at(self.current, "a power after a unit is unclear.", f"Write ({first.text})^2.")
        self.advance()
        negative = self.current_mark == "-" and bool(self.advance())
        exponent = self.advance()
        value = exponent.quantity.value
        if exponent.kind != "size" or exponent.quantity.dim != NUMBER or value % 1 or value > MOST_POWER:
            raise self.error_at(
                exponent, f"{token_text(exponent)} is not a whole power.", f"Use -{MOST_POWER} to {MOST_POWER}."
            )
        if self.current_mark == "^":
            raise self.error_at(self.current, "a power of a power is unclear.", "Put the first in parentheses.")
        whole = -value if negative else value
        return Compiled((*operand.postfix, whole, "^"), to_power(operand.dim, int(whole)))

    def operand(self, depth: int) -> Compiled:
        """A size, a named size, a function call, or a formula in parentheses. Raises FormulaError for anything else."""
        token = self.advance()
        if token.kind == "size":
            return Compiled((token.quantity.value,), token.quantity.dim)
        if token.kind == "name" and self.current_mark == "(":
            return self.call(token, self.arguments(depth + 1))
        if token.kind in ("name", "face"):
            return Compiled((f"@{token.text}",), self.dim_of(token))
        if (token.kind, token.text) != ("mark", "("):
            raise self.error_at(token, f"{token_text(token)} is there instead of a size.", "Write a size or a name.")
        inside = self.expression(0, depth + 1)
        self.expect("mark", ")")
        return inside

    def arguments(self, depth: int) -> list[Compiled | str]:
        """The arguments in a call's parentheses. Raises FormulaError when one is wrong or a comma is missing."""
        self.expect("mark", "(")
        found: list[Compiled | str] = []
        while self.current_mark != ")":
            if found:
                self.expect("mark", ",")
            found.append(self.advance().text if self.current.kind == "text" else self.expression(0, depth))
        self.advance()
        return found

    def call(self, token: Token, arguments: list[Compiled | str]) -> Compiled:
        """A function call, compiled. Raises FormulaError when the function is unknown or its arguments do not fit."""
        if token.text in self.functions:
            return self.expanded(token, arguments)
        if token.text not in FUNCTIONS:
            raise self.unknown(token, "function", [*FUNCTIONS, *self.functions])
        least, most, rule = FUNCTIONS[token.text]
        values = [argument for argument in arguments if isinstance(argument, Compiled)]
        if len(values) != len(arguments):
            raise self.error_at(token, f"{token.text} takes no text in quotes.", "Write a size or a name.")
        if not least <= len(values) <= most:
            number = str(least) if least == most else f"{least} to {most}"
            raise self.error_at(token, f"{token.text} has {counted(len(values), 'argument')}.", f"Give it {number}.")
        return self.combined(token, token.text, rule, values)

    def expanded(self, token: Token, arguments: list[Compiled | str]) -> Compiled:
        """The arithmetic that replaces a trade function. Raises FormulaError when it refuses or becomes too long."""
        try:
            compiled = self.functions[token.text](arguments)
        except Refused as error:
            raise self.error_at(token, error.what, error.next_step) from error
        if len(compiled.postfix) > MOST_STEPS:
            raise self.error_at(
                token, f"{token.text} becomes more than {MOST_STEPS} steps.", "Name parts of it as sizes."
            )
        return compiled

    def combined(self, token: Token, name: str, rule: Rule, parts: Sequence[Compiled]) -> Compiled:
        """Operands followed by their operation; more than two are combined pair by pair.

        Raises FormulaError when their kinds do not go together.
        """
        try:
            dim = rule(name, [part.dim for part in parts])
        except Mismatch as error:
            if slip := dashed_fraction(self.text):
                raise FormulaError(self.text, *slip) from error
            raise self.error_at(token, error.what, error.next_step) from error
        postfix = [*parts[0].postfix] + ([name] if len(parts) == 1 else [])
        for part in parts[1:]:
            postfix += [*part.postfix, name]
        return Compiled(tuple(postfix), dim)

    def dim_of(self, token: Token) -> Dim:
        """The kind of a named size. Raises FormulaError when there is no such size."""
        if token.kind == "face" and not any("." in name for name in self.dims):
            what = f"{token.text} is a face of a part, and faces of parts stand in lies only."
            raise self.error_at(token, what, "Name a size for it, and use that in both places.")
        if token.text not in self.dims:
            raise self.unknown(token, "size", list(self.dims))
        return self.dims[token.text]

    def unknown(self, token: Token, kind: str, known: list[str]) -> FormulaError:
        """An exception for an unknown name, with the nearest known one."""
        where = "in the recipe" if kind == "size" else "under “Every key” in DEVELOPERS.md"
        return self.error_at(token, f"there is no {kind} named {token.text}.", use_one_of(token.text, known, where))
