"""What parts, assemblies, operations and setups are called in a log."""

from benchbell.recipe.sheet import Sheet


def titles(sheet: Sheet) -> dict[str, str]:
    """By id, the title, with its piece where the build has several."""
    named = [(setup.id, "", setup.title) for setup in sheet.setups]
    named += [(op.id, op.piece, op.title) for op in sheet.operations]
    named += [(assembly.id, assembly.piece, assembly.title) for assembly in sheet.assemblies]
    named += [(part.id, part.piece, part.title) for part in sheet.parts]
    several = len(sheet.pieces) > 1
    return {id: f"{title}, piece {piece}" if piece and several else title for id, piece, title in named}
