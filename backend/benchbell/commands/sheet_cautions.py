"""A sheet's cautions as text: what holds at a station for all its operations is said once, the rest at each of them."""

from collections.abc import Iterable, Mapping

from benchbell.recipe.sheet import Operation, Sheet

Shared = Mapping[str, tuple[str, ...]]
"""By station, the cautions that all its operations share."""


def shared_cautions(sheet: Sheet) -> Shared:
    """What the operations of each station share, where it has several."""
    by_station: dict[str, list[Operation]] = {}
    for op in sheet.operations:
        by_station.setdefault(op.station, []).append(op)
    return {
        station: shared
        for station, (first, *others) in by_station.items()
        if others and (shared := tuple(id for id in first.cautions if all(id in op.cautions for op in others)))
    }


def caution_lines(sheet: Sheet, shared: Shared) -> Iterable[str]:
    """Which cautions hold at which station, then what each says; nothing where there are none."""
    if not sheet.cautions:
        return
    yield "Cautions. They do not replace the tool maker's manual or the glue's label. An operation names only"
    yield "those that its station does not:"
    yield from (f"  {station}: {', '.join(ids)}" for station, ids in shared.items())
    yield from (f"  ! {name}: {text}" for name, text in sheet.cautions.items())


def own_cautions(op: Operation, shared: Shared) -> list[str]:
    """The cautions of an operation besides those of its station."""
    return [id for id in op.cautions if id not in shared.get(op.station, ())]
