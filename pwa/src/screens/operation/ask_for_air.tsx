import { Icon } from "../../controls/icon.tsx";
import type { Operation } from "../../wire.gen.ts";
import { askForReading } from "../words/air.ts";
import { ReadAir } from "./air_reading.tsx";

/** Asks for a new reading of the air before glue or a finish goes on that depends on it, where the last one is too old. */
export function AskForAir({ operation }: { readonly operation: Operation }) {
  const why = askForReading(operation);
  if (why === null) return null;
  return (
    <>
      <p class="look">
        <Icon name="thermometer" />
        <span>{why}</span>
      </p>
      <ReadAir />
    </>
  );
}
