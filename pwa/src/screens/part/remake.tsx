import { Button } from "../../controls/button.tsx";
import { record } from "../../live/record.ts";
import { BITS, newCode } from "../../recipe/label_code.ts";

/** Begins a spoiled part again under a new label code. Never rejects. */
export function makeAgain(build: string, part: string): Promise<void> {
  return record(build, { kind: "remade", part, code: freshCode() }, [part]);
}

/** A code drawn by chance; 35 bits out of two 32-bit numbers. */
function freshCode(): string {
  const [high = 0, low = 0] = crypto.getRandomValues(new Uint32Array(2));
  return newCode((high % 2 ** (BITS - 32)) * 2 ** 32 + low);
}

/** A spoiled part is begun again under a new label. */
export function RemakeAction({ build, id }: { readonly build: string; readonly id: string }) {
  return (
    <div class="deeds">
      <p class="hint">It gets a new label, and what was done to the spoiled one no longer counts.</p>
      <Button
        kind="main"
        icon="plus"
        onTap={() => {
          void makeAgain(build, id);
          scrollTo(0, 0);
        }}
      >
        Make it again
      </Button>
    </div>
  );
}
