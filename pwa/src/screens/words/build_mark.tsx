import { PieceMark } from "./piece.tsx";
import { areOfOne, byBuild, inFull, type Work } from "./whose.ts";

type MarkProps = { readonly work: Work; readonly among: readonly Work[] };

/** Whose one of several operations is: its piece's mark, and its build's name where they are of several builds. */
export function BuildMark({ work, among }: MarkProps) {
  if (areOfOne(among)) return <PieceMark view={work.view} piece={work.operation.piece} />;
  return <span class="piece">{inFull([work])}</span>;
}

/** The marks of their pieces. named: with the builds' names, a mark for each build. */
export function Marks({ works, named }: { readonly works: readonly Work[]; readonly named: boolean }) {
  if (named)
    return (
      <>
        {byBuild(works).map((own) => (
          <span key={own[0].view.id} class="piece">
            {inFull(own)}
          </span>
        ))}
      </>
    );
  return (
    <>
      {works.map((one) => (
        <PieceMark key={one.operation.id} view={one.view} piece={one.operation.piece} />
      ))}
    </>
  );
}
