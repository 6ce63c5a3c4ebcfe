import { Icon } from "../../controls/icon.tsx";
import type { Operation, Sheet } from "../../wire.gen.ts";
import { counted } from "../words/names.ts";

const FIRST = ["manual-first", "glue-label-first", "finish-label-first"];

/** The cautions of the manual and the label, then the usual ones; folded away once the work is in hand. */
export function Cautions({ operation, sheet, open }: { operation: Operation; sheet: Sheet; open: boolean }) {
  const texts = [...operation.cautions].sort((a, b) => rank(a) - rank(b)).map((id) => sheet.cautions[id] ?? id);
  if (texts.length === 0) return null;
  return (
    <details class="cautions" open={open}>
      <summary>
        <Icon name="warn" />
        <span>{counted(texts.length, "caution")}: the manual and the label come first</span>
      </summary>
      <ul>
        {texts.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </details>
  );
}

function rank(id: string): number {
  const place = FIRST.indexOf(id);
  return place < 0 ? FIRST.length : place;
}
