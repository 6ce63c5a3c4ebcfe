import type { Operation } from "../../wire.gen.ts";

/** Which figures the clocks of this operation run by, and where they come from. */
export function Timing({ operation }: { operation: Operation }) {
  const figures = operation.clocks.filter(({ source }) => source);
  if (figures.length === 0) return null;
  return (
    <details class="sources">
      <summary>Where the times come from</summary>
      <ul>
        {figures.map(({ kind, source }) => (
          <li key={kind}>{source}</li>
        ))}
      </ul>
    </details>
  );
}
