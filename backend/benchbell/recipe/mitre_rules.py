"""The rule that mitres close, and that nothing square stands in a mitred corner."""

from collections.abc import Collection, Iterator

from benchbell.recipe.lies_rules import length_text, pieces_of
from benchbell.recipe.rule_context import RuleContext
from benchbell.recipe.solids.contacts import JOINT_MM, TOUCH_MM
from benchbell.recipe.solids.mitres import Fit, Mitre, fit, lie_in_one_room, mitres_of, stands_in_corner

NEXT_STEP = "Mitre both by half of their corner, or correct how they lie."


def mitres_close(context: RuleContext) -> None:
    """Rule: where a glue-up joins a mitred part, its mitre closes against another. Of equal pairs only the first.

    What lies apart altogether is told by glue_ups_close.
    """
    for op in context.glue_ups:
        if len(pieces_of(op, context)) > 1:
            continue
        said: set[frozenset[str]] = set()
        together = context.joined_in(op)
        for member in map(context.laid_in, op.parts):
            for number in member:
                for mitre in mitres_of(context.laid[number]):
                    for other, what in mitre_faults(number, mitre, together, context):
                        kinds = frozenset((context.laid[number].part, context.laid[other].part))
                        if other not in member and kinds not in said:
                            said.add(kinds)
                            context.warn("gap", op, what, NEXT_STEP)


def mitre_faults(
    number: int, mitre: Mitre, together: Collection[int], context: RuleContext
) -> Iterator[tuple[int, str]]:
    """The parts against which a mitre does not close, and what is wrong, as a sentence about the operation.

    together: the numbers of all parts that the operation joins.
    """
    part = context.laid[number]
    fits = [(n, found) for n in together if n != number and (found := fit(mitre, context.laid[n]))]
    if any(closes(found) for _, found in fits):
        return
    for n, found in fits:
        names = f"{part.name} and {context.laid[n].name}"
        if found.most > TOUCH_MM:
            yield n, f"does not close the mitre of {names}: it stands {length_text(found.most, context)} open."
        else:
            into = length_text(-found.least, context)
            yield n, f"does not close the mitre of {names}: they run {into} into each other."
    for one in () if fits else context.contacts_by_part[number]:
        n = one.other(number)
        others = list(mitres_of(context.laid[n])) if n in together else []
        stands = n in together and stands_in_corner(mitre, part, context.laid[n], one)
        if others and (stands or any(lie_in_one_room(mitre, other, one) for other in others)):
            yield n, f"joins {part.name} to {context.laid[n].name}, and their mitres do not face each other."
        elif stands:
            yield n, f"joins {part.name}, which is mitred, to {context.laid[n].name}, which is not: they overlap there."


def closes(found: Fit) -> bool:
    """Whether a mitre closes."""
    return found.most <= TOUCH_MM and found.least >= -JOINT_MM
