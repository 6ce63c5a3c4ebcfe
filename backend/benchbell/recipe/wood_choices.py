"""Woods that are chosen: one of which no figures are known is told at its choice, not at each formula that uses it."""

import re
from collections.abc import Mapping
from typing import Any

from benchbell.findings import Refused
from benchbell.recipe.choices import Answer
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.read import FORM
from benchbell.recipe.text_roles import Role, with_texts
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.trade_functions import WOOD
from benchbell.trade.species import near_wood, species_named

_wood_in_formula = re.compile(rf"\b(?:{'|'.join(WOOD)})\s*\(\s*[\"']\{{([a-z][a-z0-9_]*)\}}[\"']")
_passed_on = re.compile(r"\{([a-z][a-z0-9_]*)\}")


def check_woods(table: Mapping[str, Any], answers: Mapping[str, Answer], findings: FindingList) -> None:
    """Add a finding for each choice whose answer is no known wood, where a formula wants its figures.

    An answer that is only handed on to a fragment is told when it is nearly the name of a wood.
    """
    asked: set[str] = set()
    passed: set[str] = set()

    def look(text: str, _: Role, path: Path) -> str:
        asked.update(_wood_in_formula.findall(text))
        if path[0] == "use" and (whole := _passed_on.fullmatch(text)):
            passed.add(whole[1])
        return text

    with_texts({key: value for key, value in table.items() if key != "choice"}, FORM, look)
    slips = {name for name in passed if name in answers and near_wood(answers[name].choice.value)}
    for name in answers.keys() & (asked | slips):
        try:
            species_named(answers[name].choice.value)
        except Refused as error:
            findings.add_refusal("choice", ("choice", name), f"Choice {name}", error)
