"""Woods that are chosen: one of which no figures are known is told at its choice, not at each formula that uses it."""

from collections.abc import Mapping
from typing import Any

from benchbell.findings import Refused
from benchbell.recipe.finding_list import FindingList, shortened
from benchbell.trade.species import species_named


def tell_wood_choices(table: Mapping[str, Any], given: Mapping[str, str], findings: FindingList) -> None:
    """Put one finding, at a choice whose answer is no known wood, in place of all that are there because of that.

    table: the recipe, in its form. given: the answers that are not the defaults, by name.
    """
    for name, choice in table.get("choice", {}).items():
        answer = given.get(name, choice["default"])
        if not isinstance(answer, str):
            continue
        try:
            species_named(answer)
        except Refused as error:
            not_taken = f"“{shortened(answer)}” is not one of its answers."  # by a fragment that it is handed on to
            because = [one for one in findings.found if error.what in one.what or not_taken in one.what]
            of_others = [one for one in because if findings.found[one].path[:2] != ("choice", name)]
            for one in of_others:
                del findings.found[one]
            if of_others:
                findings.add_refusal("choice", ("choice", name), f"Choice {name}", error)
