import { PieceMark } from "./piece.tsx";
import { type Work, whose } from "./whose.ts";

type MarkProps = { readonly work: Work; readonly among: readonly Work[] };

/** Whose one of several operations is: its piece's mark, and its build's name where they are of several builds. */
export function BuildMark({ work, among }: MarkProps) {
  const isOne = new Set(among.map(({ view }) => view.id)).size < 2;
  if (isOne) return <PieceMark view={work.view} piece={work.operation.piece} />;
  return <span class="piece">{whose([work], among)}</span>;
}
