/** Every place in the page: its address, its tab, its title and its screen. */
import type { VNode } from "preact";
import { PATHS } from "../recipe/label_code.ts";
import { BatchScreen } from "./batch.tsx";
import { BenchScreen } from "./bench.tsx";
import { BuildScreen } from "./build.tsx";
import { BuildsScreen } from "./builds.tsx";
import { CuttingListScreen } from "./cutting_list.tsx";
import { LabelScreen } from "./label.tsx";
import { LogScreen } from "./log.tsx";
import { Missing } from "./missing.tsx";
import { ofBuild } from "./opened_build.tsx";
import { OperationScreen } from "./operation.tsx";
import { PairScreen } from "./pair.tsx";
import { PartScreen } from "./part.tsx";
import { BATCH, BUILD, CUTTING_LIST, LOG, match, OPERATION, PART, type Params, PRINT, RECIPE, WALL } from "./paths.ts";
import { FixtureScreen, RackScreen, SetupScreen, StationScreen } from "./place.tsx";
import { PlanScreen } from "./plan.tsx";
import { PrintScreen } from "./print.tsx";
import { RecipeScreen } from "./recipe.tsx";
import { RecipesScreen } from "./recipes.tsx";
import { ScanScreen } from "./scan.tsx";
import { ShopScreen } from "./shop.tsx";
import { WallScreen } from "./wall.tsx";

type Tab = "bench" | "scan" | "builds" | "shop";

/** tab: which tab is lit; null for a place that fills the whole screen. show: the screen at a path; null for another. */
type Row = {
  readonly path: string;
  readonly tab: Tab | null;
  readonly title: string;
  readonly show: (path: string) => VNode | null;
};

/** What the screen of a place is given: its title, and the parameters of its address. */
type ScreenProps<Pattern extends string> = { readonly title: string } & Params<Pattern>;

function row<Pattern extends string>(
  path: Pattern,
  tab: Tab | null,
  title: string,
  Screen: (props: ScreenProps<Pattern>) => VNode,
): Row {
  const show = (at: string) => {
    const params = match(path, at);
    return params && <Screen key={at} {...({ title, ...params } as ScreenProps<Pattern>)} />;
  };
  return { path, tab, title, show };
}

/** The first row of a tab is the place that the tab opens. */
const ROUTES: readonly Row[] = [
  row("/", "bench", "Bench", BenchScreen),
  row("/plan", "bench", "Plan", PlanScreen),
  row(OPERATION, "bench", "Operation", ofBuild(OperationScreen)),
  row(BATCH, "bench", "Operation", BatchScreen),
  row("/scan", "scan", "Scan", ScanScreen),
  row(PART, "scan", "Part", ofBuild(PartScreen)),
  row(`/${PATHS.part}/:code`, "scan", "Label", LabelScreen),
  row(`/${PATHS.fixture}/:name`, "scan", "Fixture", FixtureScreen),
  row(`/${PATHS.station}/:name`, "scan", "Station", StationScreen),
  row(`/${PATHS.setup}/:name`, "scan", "Setup", SetupScreen),
  row(`/${PATHS.rack}/:name`, "scan", "Clamp rack", RackScreen),
  row("/builds", "builds", "Builds", BuildsScreen),
  row(BUILD, "builds", "Build", ofBuild(BuildScreen)),
  row(LOG, "builds", "Log", ofBuild(LogScreen)),
  row(CUTTING_LIST, "builds", "Cutting list", ofBuild(CuttingListScreen)),
  row(PRINT, "builds", "Print labels", ofBuild(PrintScreen)),
  row("/recipes", "builds", "Recipes", RecipesScreen),
  row(RECIPE, "builds", "Recipe", RecipeScreen),
  row("/shop", "shop", "Shop", ShopScreen),
  row("/pair", "shop", "Pair this device", PairScreen),
  row(WALL, null, "Wall", WallScreen),
];

/** The tabs in order, each with the place that it opens. */
export const TABS = ROUTES.flatMap(({ path, tab, title }, n) =>
  tab && ROUTES.findIndex((other) => other.tab === tab) === n ? [{ path, tab, title }] : [],
);

/** What is shown at a path. title: until the screen sets its own. lit: a tab, or "". isWhole: it fills the screen. */
export type Place = {
  readonly screen: VNode;
  readonly title: string;
  readonly lit: string;
  readonly isWhole: boolean;
};

/** The place at a path; where there is none, a screen that says so. */
export function placeAt(path: string): Place {
  for (const { tab, title, show } of ROUTES) {
    const screen = show(path);
    if (screen) return { screen, title, lit: tab ?? "", isWhole: tab === null };
  }
  const missing = <Missing what={`There is no place ${path} in this page.`} />;
  return { screen: missing, title: "Not here", lit: "", isWhole: false };
}
