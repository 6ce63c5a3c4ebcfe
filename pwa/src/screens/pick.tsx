import { useSignal } from "@preact/signals";
import type { ComponentChildren, VNode } from "preact";
import { useEffect } from "preact/hooks";
import type { BuildView } from "../bench/loaded_builds.ts";
import { openBuild } from "../live/session.ts";
import { builds } from "../live/state.ts";
import type { Route } from "../route.ts";
import { BenchScreen } from "./bench.tsx";
import { BuildScreen } from "./build.tsx";
import { BuildsScreen } from "./builds.tsx";
import { LabelScreen } from "./label.tsx";
import { LogScreen } from "./log.tsx";
import { Missing } from "./missing.tsx";
import { OperationScreen } from "./operation.tsx";
import { PairScreen } from "./pair.tsx";
import { PartScreen } from "./part.tsx";
import { PlaceScreen } from "./place.tsx";
import { PlanScreen } from "./plan.tsx";
import { PrintScreen } from "./print.tsx";
import { RecipeScreen } from "./recipe.tsx";
import { RecipesScreen } from "./recipes.tsx";
import { ScanScreen } from "./scan.tsx";
import { ShopScreen } from "./shop.tsx";
import { WallScreen } from "./wall.tsx";

/** The screen that belongs to a place. */
export function Picked({ route }: { route: Route }): VNode {
  switch (route.screen) {
    case "bench":
      return <BenchScreen />;
    case "scan":
      return <ScanScreen />;
    case "builds":
      return <BuildsScreen />;
    case "plan":
      return <PlanScreen />;
    case "recipes":
      return <RecipesScreen />;
    case "recipe":
      return <RecipeScreen key={route.name} name={route.name} />;
    case "shop":
      return <ShopScreen />;
    case "wall":
      return <WallScreen />;
    case "pair":
      return <PairScreen />;
    case "label":
      return <LabelScreen code={route.code} />;
    case "place":
      return <PlaceScreen key={route.name} kind={route.kind} name={route.name} />;
    case "build":
      return <OfBuild id={route.build}>{(view) => <BuildScreen view={view} />}</OfBuild>;
    case "log":
      return <OfBuild id={route.build}>{(view) => <LogScreen view={view} />}</OfBuild>;
    case "print":
      return <OfBuild id={route.build}>{(view) => <PrintScreen view={view} />}</OfBuild>;
    case "operation":
      return (
        <OfBuild id={route.build}>
          {(view) => <OperationScreen key={route.operation} view={view} id={route.operation} />}
        </OfBuild>
      );
    case "part":
      return (
        <OfBuild id={route.build}>{(view) => <PartScreen key={route.part} view={view} id={route.part} />}</OfBuild>
      );
    case "lost":
      return <Missing what={`There is no place ${route.path} in this page.`} />;
  }
}

type OfBuildProps = { readonly id: string; readonly children: (view: BuildView) => ComponentChildren };

/** A screen of one build, open or finished; a finished one is fetched from what the phone keeps first. */
function OfBuild({ id, children }: OfBuildProps) {
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
