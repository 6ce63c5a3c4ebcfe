import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { findOldCode } from "../live/session.ts";
import { findCode } from "../live/state.ts";
import { NotALabelCode, readCode, showCode } from "../recipe/label_code.ts";
import { Missing } from "./missing.tsx";
import { PartScreen } from "./part.tsx";

/** Where a label's address lands: its part, or a sentence why there is none. */
export function LabelScreen({ code }: { code: string }) {
  const read = checked(code);
  if ("error" in read) return <Missing what={read.error} next="Type the code under Scan, or scan the label again." />;
  return <LabelledPart key={read.code} code={read.code} />;
}

/** The part that bears it; a finished build is opened first, from what the phone keeps. */
function LabelledPart({ code }: { code: string }) {
  const looking = useSignal(true);
  useEffect(() => {
    void findOldCode(code).then(() => {
      looking.value = false;
    });
  }, [code]);
  const found = findCode(code);
  if (found) return <PartScreen view={found.view} part={found.id} oldLabel={found.old} />;
  if (looking.value) return <p class="soft">Looking for the label…</p>;
  return (
    <Missing
      what={`No build on this phone has the label ${showCode(code)}.`}
      next="If it was printed on another day or by another shop, that is so. Else wait until this phone has synced."
    />
  );
}

function checked(code: string): { code: string } | { error: string } {
  try {
    return { code: readCode(code) };
  } catch (error) {
    if (error instanceof NotALabelCode) return { error: error.message };
    throw error;
  }
}
