"""What follows from one slip at several places is one warning, which names all of them."""

from msgspec.structs import replace

from benchbell.findings import Finding
from benchbell.recipe.finding_list import FindingList

MOST_NAMES = 6
"""So many other places a sentence names; of more it says how many."""


def tell_once(findings: FindingList) -> None:
    """Put the warnings of one slip together. What was accepted before stays by itself, each with its reason."""
    of_slip: dict[tuple[object, ...], list[Finding]] = {}
    for finding, about in findings.found.items():
        if finding.grade == "warning" and about.slip:
            key = (finding.rule, finding.file, finding.used_by, about.slip.key)
            of_slip.setdefault(key, []).append(finding)
    together = {alike[0]: alike for alike in of_slip.values() if len(alike) > 1}
    others = {one for alike in together.values() for one in alike[1:]}
    findings.found = {
        as_one(together[one], findings) if one in together else one: about
        for one, about in findings.found.items()
        if one not in others
    }


def as_one(alike: list[Finding], findings: FindingList) -> Finding:
    """The first of several warnings with the names of the others, and the next step of the last, which is for all."""
    slips = [slip for one in alike if (slip := findings.found[one].slip)]
    names = dict.fromkeys(name for slip in slips[1:] for name in slip.names if name not in slips[0].names)
    what = f"{alike[0].what.removesuffix('.')}; so it is with {listed([*names])}."
    return replace(alike[0], what=what, next_step=alike[-1].next_step)


def listed(names: list[str]) -> str:
    """Names in a sentence: "a, b and c"."""
    named = names if len(names) <= MOST_NAMES else [*names[: MOST_NAMES - 1], f"{len(names) - MOST_NAMES + 1} more"]
    return " and ".join(filter(None, (", ".join(named[:-1]), named[-1])))
