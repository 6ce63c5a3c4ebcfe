import { Button } from "../../controls/button.tsx";
import { Notice } from "../../controls/notice.tsx";
import { type BuildView, record } from "../../live.ts";
import { BITS, newCode } from "../../recipe/code.ts";

/** A spoiled part is begun again under a new label. */
export function Again({ view, id }: { view: BuildView; id: string }) {
  return (
    <Notice
      grave
      icon="spoiled"
      what="It is spoiled."
      next="Begin it again: it gets a new label, and what was done to the old one no longer counts."
    >
      <Button kind="main" onTap={() => void record(view.id, { kind: "remade", part: id, code: freshCode() }, [id])}>
        Make it again
      </Button>
    </Notice>
  );
}

/** A code drawn by chance; 35 bits out of two 32-bit numbers. */
function freshCode(): string {
  const [high = 0, low = 0] = crypto.getRandomValues(new Uint32Array(2));
  return newCode((high % 2 ** (BITS - 32)) * 2 ** 32 + low);
}
