import "./piece.css";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { operationOf, partOf, titleOf } from "./names.ts";

/** The letter of a piece, as one chalks it on a board; nothing where the build has one piece, or it is of all. */
export function PieceMark({ view, piece }: { view: BuildView; piece: string }) {
  if (!piece || view.sheet.pieces.length < 2) return null;
  return (
    <span class="piece">
      <span class="unseen">Piece </span>
      {piece}
    </span>
  );
}

/** The title of an operation or a part behind its piece's mark. */
export function PieceTitle({ view, id }: { view: BuildView; id: string }) {
  const piece = operationOf(view.sheet, id)?.piece ?? partOf(view.sheet, id)?.piece ?? "";
  return (
    <span class="marked">
      <PieceMark view={view} piece={piece} /> {titleOf(view.sheet, id)}
    </span>
  );
}
