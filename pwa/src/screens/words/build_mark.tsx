import { PieceMark } from "./piece.tsx";
import { areOfOne, inFull, type Work } from "./whose.ts";

type MarkProps = { readonly work: Work; readonly among: readonly Work[] };

/** Whose one of several operations is: its piece's mark, and its build's name where they are of several builds. */
export function BuildMark({ work, among }: MarkProps) {
  if (areOfOne(among)) return <PieceMark view={work.view} piece={work.operation.piece} />;
  return <span class="piece">{inFull([work])}</span>;
}
