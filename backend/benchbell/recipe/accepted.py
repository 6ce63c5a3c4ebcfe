"""Warnings that the maker accepts, where the recipe says so, with the reason."""

from collections.abc import Iterator, Mapping

from benchbell.findings import use_one_of
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.toml_positions import Path
from benchbell.recipe.warning_rules import WARNINGS
from benchbell.recipe.written import Recipe


def mark_accepted(recipe: Recipe, shop: ShopProfile, findings: FindingList) -> None:
    """Give each warning that the recipe accepts the grade "accepted" and the reason.

    Of a warning that is accepted by its own part, setup, operation or size and by the whole recipe, the nearer reason
    counts. Adds findings for names of no warning, and for warnings that are accepted and do not occur.
    """
    written = dict(all_accepted(recipe))
    used: set[tuple[Path, str]] = set()
    for finding, path in list(findings.found.items()):
        place = next((place for place in (path[:2], ()) if finding.rule in written.get(place, {})), None)
        if finding.grade == "warning" and place is not None:
            used.add((place, finding.rule))
            findings.accept(finding, written[place][finding.rule])
    for place, accepted in written.items():
        for rule in accepted:
            if (place, rule) not in used:
                add_unused(place, rule, thing_at(recipe, place), shop, findings)


def all_accepted(recipe: Recipe) -> Iterator[tuple[Path, Mapping[str, str]]]:
    """The place of each table of accepted warnings, and the table: reasons by rule."""
    yield (), recipe.accept
    yield from ((("part", row), part.accept) for row, part in enumerate(recipe.part))
    yield from ((("setup", row), setup.accept) for row, setup in enumerate(recipe.setup))
    yield from ((("operation", row), op.accept) for row, op in enumerate(recipe.operation))
    for name, size in recipe.size.items():
        if not isinstance(size, str):
            yield ("size", name), size.accept


def add_unused(place: Path, rule: str, thing: str, shop: ShopProfile, findings: FindingList) -> None:
    """Add a finding for an accepted warning that is unknown or does not occur.

    Nothing is said where the rule cannot be judged: after an error, and about clamps that are not counted.
    """
    path = (*place, "accept")
    if rule not in WARNINGS:
        what = f"{thing} accepts “{rule}”, which is the name of no warning."
        findings.error("unknown-name", path, what, use_one_of(rule, WARNINGS))
    elif not findings.has_error and (rule != "too-few-clamps" or shop.clamps):
        what = f"{thing} accepts {rule}, which does not occur here: {WARNINGS[rule]}."
        findings.warn("accepts-nothing", path, what, "Take it out of accept, or move it to where it occurs.")


def thing_at(recipe: Recipe, place: Path) -> str:
    """A place of the recipe in words, to begin a sentence: "Operation glue-frame", "The recipe"."""
    match place:
        case "part", int(row):
            return f"Part {recipe.part[row].id}"
        case "setup", int(row):
            return f"Setup {recipe.setup[row].id}"
        case "operation", int(row):
            return f"Operation {recipe.operation[row].id}"
        case "size", name:
            return f"Size {name}"
    return "The recipe"
