"""The warnings that a recipe can accept, by rule."""

WARNINGS = {
    "clamped-too-short": "a glue-up has less time in clamps than its glue needs",
    "few-clamps": "a glue line has fewer clamps than are usual",
    "machined-too-soon": "a glue-up rests for less time than its glue needs before a machine works on it",
    "no-dry-fit": "nothing was put together dry before it is glued",
    "no-proof": "a machine's setup has no proof cut",
    "no-room-to-move": "solid wood is held fast across its grain",
    "not-joined": "a glue-up makes no assembly",
    "not-measured": "a size is to be measured, and nothing measures it",
    "one-coat": "several coats of a finish of which one is usual",
    "part-too-small": "a part is smaller than is usually worked at its station",
    "recoat-too-late": "the next coat comes later than the finish allows",
    "recoat-too-soon": "the next coat comes sooner than the finish allows",
    "spread-too-long": "a glue-up takes longer to close than its glue stays open",
    "too-cold": "the shop's air is colder than a glue or finish allows",
    "too-damp": "the shop's air is damper than a finish allows",
    "too-few-clamps": "a glue-up takes more clamps than the shop has",
    "unknown-wood": "a wood's name looks misspelt, so that its movement and weight are not known",
    "unused": "a part, setup, size or time that nothing uses",
}
"""By rule, what it warns of."""
