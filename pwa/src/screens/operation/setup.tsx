import { useSignal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { setValues, sizesOf } from "../../bench/sizes.ts";
import { setupSetting, standsNow } from "../../bench/standing.ts";
import { Button } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { record } from "../../live/record.ts";
import { builds, now, unitsOf } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Setup } from "../../wire.gen.ts";
import { setupOf } from "../words/names.ts";
import { shown } from "../words/sizes.ts";
import { byBuild, type Work } from "../words/whose.ts";
import { SetDialog, type SetValues } from "./set_dialog.tsx";

type SetupProps = Work & { readonly alike?: readonly Work[] };

/**
 * What the station is set to for this operation: planned beside as set, and the proof cut.
 *
 * alike: all that need it as this one does, itself among them; it is written down for the build of each.
 */
export function SetupBlock({ view, operation, alike = [{ view, operation }] }: SetupProps) {
  const asked = useSignal(false);
  const setup = operation.setup ? setupOf(view.sheet, operation.setup) : undefined;
  if (!setup) return null;
  const standing = view.bench.stations[setup.station];
  const stands = standing?.setup === setup.id && !isOvertaken(view, setup) ? standing : undefined;
  const wanted = setValues(setup, sizesOf(view.sheet, view.bench.as_built, operation.piece));
  return (
    <section class="block setup">
      <h2>
        Setup <span>{setup.station}</span>
      </h2>
      <h3>{setup.title}</h3>
      <dl class="sizes">
        {setup.set.map(({ name, dim }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              <strong class="figure">{shown(wanted[name], dim, unitsOf(view.sheet))}</strong>
              {stands?.values[name] !== undefined && (
                <small>as set {shown(stands.values[name], dim, unitsOf(view.sheet))}</small>
              )}
            </dd>
          </div>
        ))}
      </dl>
      {(setup.needs ?? []).length > 0 && <p class="soft">Needs {(setup.needs ?? []).join(", ")}.</p>}
      {setup.prove && (
        <p>
          <strong>Prove it: </strong>
          {setup.prove}
        </p>
      )}
      <StationState view={view} setup={setup} />
      <div class="pair">
        {stands && !stands.proved && (
          <Button
            icon="done"
            onTap={() => recordSetup(alike, setup, view.bench.stations[setup.station]?.values ?? {}, true)}
          >
            Proof cut fits
          </Button>
        )}
        <Button icon="set" onTap={() => (asked.value = true)}>
          {stands ? "Set again" : "Write down as set"}
        </Button>
        {stands && <Button onTap={() => broken(alike, setup)}>Setup broken</Button>}
      </div>
      {asked.value && (
        <SetDialog
          view={view}
          operation={operation}
          setup={setup}
          onSet={(values, proved) => recordSetup(alike, setup, values, proved)}
          onClose={() => (asked.value = false)}
        />
      )}
    </section>
  );
}

/** Whether something else was done at the station, in any build, since it was last written down as set in this one. */
function isOvertaken(view: BuildView, { station }: Setup): boolean {
  const written = view.bench.stations[station];
  const setting = standsNow(builds.value).get(station)?.setting;
  return written !== undefined && setting !== setupSetting(view.sheet, written.setup);
}

/** What the station stands in now, in a sentence. */
function StationState({ view, setup }: { view: BuildView; setup: Setup }) {
  const standing = view.bench.stations[setup.station];
  if (!standing) return null;
  const since = clockTime(standing.ms, now.value);
  if (isOvertaken(view, setup)) {
    return standing.setup === setup.id ? (
      <p class="stands look">
        <Icon name="warn" />
        <span>Set at {since}, but other work was done there since: set and prove it again.</span>
      </p>
    ) : null;
  }
  if (standing.setup === setup.id) {
    return (
      <p class="stands">
        <Icon name={standing.proved ? "done" : "in-hand"} />
        {standing.proved ? `Stands since ${since}, proved on scrap.` : `Stands since ${since}, not proved yet.`}
      </p>
    );
  }
  const other = setupOf(view.sheet, standing.setup);
  const wanting = view.sheet.operations.filter(({ id, setup: of }) => of === standing.setup && isOpen(view, id)).length;
  return (
    <p class="stands look">
      <Icon name="warn" />
      <span>
        The {setup.station} still stands as “{other?.title ?? standing.setup}”
        {wanting > 0 && `, and ${wanting === 1 ? "one operation needs" : `${wanting} operations need`} that yet`}.
      </span>
    </p>
  );
}

function isOpen(view: BuildView, id: string): boolean {
  return view.bench.operations[id]?.status !== "done";
}

/** Writes it down once for each build, about all that it is set for there. */
function recordSetup(alike: readonly Work[], { id: setup, station }: Setup, values: SetValues, proved: boolean): void {
  for (const own of byBuild(alike)) {
    const about = [...own.map(({ operation }) => operation.id), setup, station];
    void record(own[0].view.id, { kind: "set-up", setup, station, values, proved }, about);
  }
}

function broken(alike: readonly Work[], { id: setup, station }: Setup): void {
  for (const [{ view }] of byBuild(alike)) void record(view.id, { kind: "setup-broken", station }, [setup, station]);
}
