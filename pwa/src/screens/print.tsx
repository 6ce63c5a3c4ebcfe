import { useSignal } from "@preact/signals";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Link, Submit } from "../controls/button.tsx";
import { Choice, Field } from "../controls/field.tsx";
import { Findings } from "../controls/findings.tsx";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import type { LabelNotes } from "../wire.gen.ts";
import { Fetched } from "./fetched.tsx";
import { buildPath, partPath, printPath } from "./paths.ts";
import { type Form, firstAfter, formTold, KINDS, type Kinds, lastForm, placeOf, queryOf } from "./print/form.ts";
import { counted, fullTitle } from "./words/names.ts";

/** Which labels, on what paper. The server draws them: it says first what they take and what to look out for. */
export function PrintScreen({ view, title }: { readonly view: BuildView; readonly title: string }) {
  const only = new URLSearchParams(location.search).get("only") ?? "";
  const form = lastForm;
  const asked = useSignal(form.value);
  const query = queryOf(asked.value, only);
  const put = (change: Partial<Form>) => {
    form.value = { ...form.value, ...change };
  };
  const look = (event: Event) => {
    event.preventDefault();
    asked.value = form.value;
  };
  const prints = (
    <PrintPreview
      key={query}
      view={view}
      query={query}
      onPrint={(labels) => put({ first: firstAfter(asked.value, labels) })}
    />
  );
  return (
    <>
      <Top title={title} over={view.name} back={only ? partPath(view.id, only) : buildPath(view.id)} />
      {only && (
        <>
          <p>
            The label of <strong>{fullTitle(view.sheet, only)}</strong> alone, {placeOf(asked.value)}.
          </p>
          {prints}
          <Link to={printPath(view.id)}>All labels</Link>
        </>
      )}
      <form class="stack" onSubmit={look}>
        <PaperFields form={form.value} onPut={put} />
        {!only && <KindChips form={form.value} onPut={put} />}
        <Field label="Copies of each" keys="numeric" value={form.value.copies} onText={(copies) => put({ copies })} />
        <Submit kind="plain">Look it over</Submit>
      </form>
      {!only && prints}
    </>
  );
}

type PartProps = { readonly form: Form; readonly onPut: (change: Partial<Form>) => void };

/** Sheet or roll, and how it is divided. */
function PaperFields({ form, onPut }: PartProps) {
  return (
    <>
      <Choice
        label="Paper"
        value={form.paper}
        options={[
          ["A4", "A4 sheets"],
          ["Letter", "Letter sheets"],
          ["roll", "A roll"],
        ]}
        onChoice={(paper) => onPut({ paper })}
      />
      {form.paper === "roll" ? (
        <>
          <Field label="Width of the roll" value={form.roll} onText={(roll) => onPut({ roll })} />
          <Field label="Height of a label" value={form.height} onText={(height) => onPut({ height })} />
        </>
      ) : (
        <>
          <div class="pair">
            <Field label="Rows" keys="numeric" value={form.rows} onText={(rows) => onPut({ rows })} />
            <Field label="Columns" keys="numeric" value={form.columns} onText={(columns) => onPut({ columns })} />
          </div>
          <Field
            label="Margins"
            hint="Left and top, such as 7 mm x 15 mm; one size stands for both."
            value={form.margins}
            onText={(margins) => onPut({ margins })}
          />
          <Field
            label="Gaps between labels"
            hint="Across and down."
            value={form.gaps}
            onText={(gaps) => onPut({ gaps })}
          />
          <Field
            label="First free label"
            hint="On a sheet that was begun, counted along the rows; after a print, the one behind the last."
            keys="numeric"
            value={form.first}
            onText={(first) => onPut({ first })}
          />
        </>
      )}
    </>
  );
}

/** Which labels of the build. */
function KindChips({ form, onPut }: PartProps) {
  const turn = (kind: Kinds) =>
    onPut({ kinds: form.kinds.includes(kind) ? form.kinds.filter((one) => one !== kind) : [...form.kinds, kind] });
  return (
    <fieldset class="reasons">
      <legend>Labels of</legend>
      {KINDS.map(([kind, words]) => (
        <button
          key={kind}
          type="button"
          class="chip"
          aria-pressed={form.kinds.includes(kind)}
          onClick={() => turn(kind)}
        >
          {words}
        </button>
      ))}
    </fieldset>
  );
}

type PrintsProps = {
  readonly view: BuildView;
  readonly query: string;
  readonly onPrint: (labels: number) => void;
};

/** What they take, what to look out for, and the two ways to print them. */
function PrintPreview({ view, query, onPrint }: PrintsProps) {
  const address = `/builds/${view.id}/labels`;
  return (
    <section class="block">
      <h2>To print</h2>
      <Fetched<LabelNotes> path={`${address}.json?${query}`}>
        {(preview) => (
          <>
            <p>
              {counted(preview.labels, "label")} on {counted(preview.pages, "page")}. Print at 100 %, not fitted to the
              page.
            </p>
            <Findings findings={formTold(preview.findings)} />
            <div class="pair">
              <a class="button main" href={`${address}.pdf?${query}`} onClick={() => onPrint(preview.labels)}>
                <Icon name="print" />
                <span>PDF</span>
              </a>
              <a class="button plain" href={`${address}.html?${query}`} onClick={() => onPrint(preview.labels)}>
                <Icon name="label" />
                <span>From the browser</span>
              </a>
            </div>
          </>
        )}
      </Fetched>
    </section>
  );
}
