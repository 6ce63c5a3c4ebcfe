/** What a person fills in to print labels, and how the server is asked for it. */
import { persisted } from "../../live/signals.ts";
import type { Finding } from "../../wire.gen.ts";

/** What labels are printed for. */
export type Kinds = "part" | "assembly" | "fixture" | "station" | "setup" | "rack";

/** Each kind of label with its word on the screen. */
export const KINDS: readonly (readonly [Kinds, string])[] = [
  ["part", "Parts"],
  ["assembly", "Assemblies"],
  ["fixture", "Fixtures"],
  ["station", "Stations"],
  ["setup", "Setups"],
  ["rack", "Clamp racks"],
];

/** As written; the server reads sizes in any unit. */
export type Form = {
  readonly paper: string;
  readonly rows: string;
  readonly columns: string;
  readonly margins: string;
  readonly gaps: string;
  readonly first: string;
  readonly roll: string;
  readonly height: string;
  readonly copies: string;
  readonly kinds: readonly Kinds[];
};

/** What the form says before anything was printed. */
export const USUAL: Form = {
  paper: "A4",
  rows: "7",
  columns: "3",
  margins: "8 mm",
  gaps: "0 mm",
  first: "1",
  roll: "62 mm",
  height: "29 mm",
  copies: "1",
  kinds: ["part", "assembly", "fixture"],
};

/** What was asked for last on this phone: paper stays what it is. */
export const lastForm = persisted("labels", USUAL, isForm);

function isForm(kept: unknown): kept is Form {
  const alike = (name: string) => typeof (kept as Record<string, unknown>)[name] === typeof USUAL[name as keyof Form];
  return typeof kept === "object" && kept !== null && Object.keys(USUAL).every(alike);
}

/** The first free label once so many are printed: a sheet that was begun is used on. */
export function firstAfter({ paper, rows, columns, first }: Form, labels: number): string {
  const sheet = Number(rows) * Number(columns);
  return paper === "roll" || !(sheet > 0) ? first : String(((Number(first) - 1 + labels) % sheet) + 1);
}

/** Where the first label comes to stand: "on A4, 7 rows of 3, from label 5". */
export function placeOf({ paper, rows, columns, first, roll }: Form): string {
  return paper === "roll" ? `on a roll of ${roll}` : `on ${paper}, ${rows} rows of ${columns}, from label ${first}`;
}

/** The question in an address. only: one label by its id, in place of kinds. */
export function queryOf(form: Form, only: string): string {
  const paper =
    form.paper === "roll"
      ? { paper: `roll ${form.roll}`, size: form.height }
      : {
          paper: form.paper,
          rows: form.rows,
          columns: form.columns,
          margins: form.margins,
          gaps: form.gaps,
          first: form.first,
        };
  const query = new URLSearchParams({ ...paper, copies: form.copies });
  if (only) query.append("only", only);
  else for (const kind of form.kinds) query.append("kind", kind);
  return query.toString();
}

const FEW = 6;

/** The first few findings, and how many more there are: a small label says the same of every part. */
export function formTold(findings: readonly Finding[]): readonly Finding[] {
  const [first] = findings;
  if (!first || findings.length <= FEW) return findings;
  const more = {
    ...first,
    what: `The same, or the like, holds of ${findings.length - FEW} more labels.`,
    next_step: "",
  };
  return [...findings.slice(0, FEW), more];
}
