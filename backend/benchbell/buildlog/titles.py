"""What parts, assemblies, operations and setups are called in a log, and what was chosen."""

from benchbell.recipe.sheet import Choice, Sheet


def chosen_text(choice: Choice) -> str:
    """A choice and what was chosen: "How wide? 18 in, piece B 20 in"."""
    return ", ".join((f"{choice.ask} {choice.value}", *(f"piece {one} {own}" for one, own in choice.by_piece.items())))


def titles(sheet: Sheet) -> dict[str, str]:
    """By id, the title, with its piece where the build has several."""
    named = [(setup.id, "", setup.title) for setup in sheet.setups]
    named += [(op.id, op.piece, op.title) for op in sheet.operations]
    named += [(assembly.id, assembly.piece, assembly.title) for assembly in sheet.assemblies]
    named += [(part.id, part.piece, part.title) for part in sheet.parts]
    several = len(sheet.pieces) > 1
    return {id: f"{title}, piece {piece}" if piece and several else title for id, piece, title in named}
