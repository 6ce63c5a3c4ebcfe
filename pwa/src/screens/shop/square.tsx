import { now } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { PairingCode } from "../../wire.gen.ts";

/** Light modules around a square (ISO/IEC 18004, quiet zone). */
const QUIET = 4;

/** The one-time code: its square for the other device's camera, and its letters for the thumb. */
export function PairingSquare({ code }: { code: PairingCode }) {
  const size = code.rows.length + 2 * QUIET;
  return (
    <div class="stack square">
      <p>Open this on the other device: scan the square, or type the code there under Shop, Pair.</p>
      <svg viewBox={`0 0 ${size} ${size}`} role="img" aria-label={`Square that holds ${code.address}`}>
        <rect width={size} height={size} fill="#fff" />
        <path d={modules(code.rows)} fill="#000" />
      </svg>
      <p class="code">{code.code}</p>
      <p>Good for one device, until {clockTime(code.until_ms, now.value)}.</p>
    </div>
  );
}

/** One little square a dark module. */
function modules(rows: readonly string[]): string {
  return rows
    .flatMap((row, y) => [...row].map((module, x) => (module === "1" ? `M${x + QUIET} ${y + QUIET}h1v1h-1z` : "")))
    .join("");
}
