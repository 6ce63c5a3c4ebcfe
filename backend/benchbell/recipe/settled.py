"""A text with its choices settled: what they say is put in, and what they do not ask for is taken out."""

import re
from collections.abc import Mapping
from functools import cached_property
from typing import Any

import msgspec
from msgspec import Struct

from benchbell.findings import Refused, use_one_of
from benchbell.recipe.choices import Answer
from benchbell.recipe.conditions import DependsOnWrong, holds, number_in
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.formula import Macro
from benchbell.recipe.named_sizes import FormulaScope, named_sizes, names_used
from benchbell.recipe.names_in_text import BRACES, Rows, sizes_in
from benchbell.recipe.read import FORM, name_of
from benchbell.recipe.text_roles import Role, with_texts
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.written import SizeText

CONDITIONAL = ("part", "setup", "fixture", "operation", "hardware", "consumable", "use")
"""The tables whose rows may have a condition."""

WORDS = "as"
"""What stands in braces for the title of the use, such as the upper drawer."""


class Settled(Struct, frozen=True, dict=True):
    """A text with its choices settled. rows: those that are there. gone: those that the choices leave out.

    head: title, units and so on. answers: to the choices, by name. named: the sizes that it named before.
    """

    head: dict[str, Any]
    sizes: dict[str, Any]
    rows: Rows
    gone: Rows
    answers: Mapping[str, Answer]
    scopes: "Scopes"
    named: set[str]


class Scopes(Struct, frozen=True, dict=True):
    """The sizes of a text with their values, for what must be known before a build begins."""

    sizes: Mapping[str, Any]
    answers: Mapping[str, Answer]
    functions: Mapping[str, Macro]

    @cached_property
    def known(self) -> FormulaScope:
        """Sizes that do not depend on one that is measured."""
        fixed = {name: size for name, size in self.sizes.items() if isinstance(size, str)}
        answered = [name for name, answer in self.answers.items() if not answer.measured]
        scope = self.scope(fixed, answered)
        scope.broken |= {*self.sizes, *self.answers} - scope.dims.keys()
        scope.wrong |= self.planned.wrong
        return scope

    @cached_property
    def planned(self) -> FormulaScope:
        """All sizes, the measured ones as planned."""
        scope = self.scope(self.written, list(self.answers))
        scope.wrong |= scope.broken
        return scope

    @property
    def written(self) -> dict[str, str | SizeText]:
        """The sizes as structs."""
        return msgspec.convert(self.sizes, dict[str, str | SizeText])

    def tell_wrong(self, findings: FindingList) -> None:
        """Add a finding for each size that is wrong, where one of them keeps the recipe from being compiled."""
        self.scope(self.written, list(self.answers), findings)

    def scope(
        self, sizes: Mapping[str, str | SizeText], answered: list[str], findings: FindingList | None = None
    ) -> FormulaScope:
        """The scope of these sizes and choices. A wrong size is left out: compiling the recipe gives the finding.

        findings: to which it is added here; None for nowhere.
        """
        scope = FormulaScope(self.functions)
        for name in answered:
            if (value := self.answers[name].value) is not None:
                scope.dims[name], scope.plan[name] = value.dim, value.value
        named_sizes(sizes, scope, FindingList("") if findings is None else findings)
        return scope


def settled(
    table: dict[str, Any],
    answers: Mapping[str, Answer],
    words: str,
    functions: Mapping[str, Macro],
    findings: FindingList,
) -> Settled:
    """The text with its choices settled. words: what {as} becomes. Adds a finding for each condition that is wrong."""
    bare = {key: value for key, value in table.items() if key != "choice"}
    told = with_words(bare, answers, words, findings) if answers or findings.used_by else bare
    sizes = told.get("size", {})
    scopes = Scopes(sizes, answers, functions)
    rows: Rows = {kind: [] for kind in CONDITIONAL}
    gone: Rows = {kind: [] for kind in CONDITIONAL}
    for kind in CONDITIONAL:
        for n, row in enumerate(told.get(kind, [])):
            there = is_there(row, (kind, n), answers, scopes, table, findings)
            settled_row = {key: value for key, value in row.items() if key != "when"}
            (rows if there else gone)[kind].append((n, settled_row))
    numbered = {
        kind: [(n, with_numbers({kind: [row]}, kind, n, scopes, table, findings)) for n, row in of_kind]
        for kind, of_kind in rows.items()
    }
    head = {key: value for key, value in told.items() if key not in (*CONDITIONAL, "size")}
    return Settled(head, sizes, numbered, gone, answers, scopes, sizes_in(told, sizes))


def with_words(table: dict[str, Any], answers: Mapping[str, Answer], words: str, findings: FindingList) -> Any:
    """The table with what was chosen in place of each {name}, and a capital where a text begins with one."""
    texts = {name: answer.choice.value for name, answer in answers.items()} | {WORDS: words}

    def change(text: str, _: Role, path: Path) -> str:
        def put(found: re.Match[str]) -> str:
            if found[1] not in texts:
                what = f"{name_of(table, path)}: “{found[0]}” is no choice of this text."
                findings.error("unknown-name", path, what, use_one_of(found[1], texts))
            told = texts.get(found[1], found[0])
            return told[0].upper() + told[1:] if found.start() == 0 and found[1] == WORDS else told

        return BRACES.sub(put, text)

    return with_texts(table, FORM, change)


def is_there(
    row: dict[str, Any],
    path: Path,
    answers: Mapping[str, Answer],
    scopes: Scopes,
    table: dict[str, Any],
    findings: FindingList,
) -> bool:
    """Whether all conditions of a row hold. A wrong one gives a finding, and counts as one that holds."""
    conditions = row.get("when", [])
    for condition in [conditions] if isinstance(conditions, str) else conditions:
        try:
            if not holds(condition, answers, scopes.known):
                return False
        except DependsOnWrong:
            scopes.tell_wrong(findings)
        except Refused as error:
            findings.add_refusal("formula", (*path, "when"), name_of(table, (*path, "when")), error)
    return True


def with_numbers(
    one: dict[str, Any], kind: str, n: int, scopes: Scopes, table: dict[str, Any], findings: FindingList
) -> dict[str, Any]:
    """A row, alone in its table, with each formula that stands for a number evaluated. A wrong one gives a finding."""
    named = {*scopes.sizes, *scopes.answers}

    def change(text: str, role: Role, inner: Path) -> Any:
        if role != "number" or not names_used(text, named):
            return text
        path = (kind, n, *inner[2:])
        try:
            return number_in(text, scopes.known)
        except DependsOnWrong:
            scopes.tell_wrong(findings)
        except Refused as error:
            findings.add_refusal("formula", path, name_of(table, path), error)
        return 1

    return dict(with_texts(one, FORM, change)[kind][0])
