import { useSignal } from "@preact/signals";
import type { ComponentChildren, VNode } from "preact";
import { useEffect } from "preact/hooks";
import type { BuildView } from "../bench/loaded_builds.ts";
import { openBuild } from "../live/session.ts";
import { builds } from "../live/state.ts";
import { Missing } from "./missing.tsx";

/** A screen of one build as a screen that is given the build's id. */
export function ofBuild<Props extends { readonly view: BuildView }>(Screen: (props: Props) => VNode) {
  return ({ build, ...rest }: { readonly build: string } & Omit<Props, "view">) => (
    <OpenedBuild id={build}>{(view) => <Screen {...({ ...rest, view } as unknown as Props)} />}</OpenedBuild>
  );
}

type AllProps = {
  readonly ids: readonly string[];
  readonly opened?: readonly BuildView[];
  readonly children: (views: readonly BuildView[]) => VNode;
};

/** Shows something of several builds, each opened as `ofBuild` does it. opened: those that are. */
export function OpenedBuilds({ ids, opened = [], children }: AllProps): VNode {
  const [first, ...others] = ids;
  if (first === undefined) return children(opened);
  return (
    <OpenedBuild key={first} id={first}>
      {(view) => (
        <OpenedBuilds ids={others} opened={[...opened, view]}>
          {children}
        </OpenedBuilds>
      )}
    </OpenedBuild>
  );
}

type OpenedProps = { readonly id: string; readonly children: (view: BuildView) => ComponentChildren };

/** Shows something of a build, open or finished; a finished one is read from the phone first. */
function OpenedBuild({ id, children }: OpenedProps) {
  const kept = useSignal<BuildView | null | "looking">("looking");
  const open = builds.value.find((build) => build.id === id);
  useEffect(() => {
    if (open) return;
    let wanted = true;
    void openBuild(id).then((found) => {
      if (wanted) kept.value = found;
    });
    return () => {
      wanted = false;
    };
  }, [id, open === undefined]);
  const view = open ?? kept.value;
  if (view === "looking") return <p class="soft">Opening the build…</p>;
  if (view === null)
    return (
      <Missing what="This phone does not know that build." next="Wait until it has synced, or look under Builds." />
    );
  return <>{children(view)}</>;
}
