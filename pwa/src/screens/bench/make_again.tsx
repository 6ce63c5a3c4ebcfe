import type { ToMakeAgain } from "../../bench/spoiled.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Notice } from "../../controls/notice.tsx";
import { travel } from "../../live/navigation.ts";
import { builds } from "../../live/state.ts";
import { makeAgain } from "../part/remake.tsx";
import { partPath } from "../paths.ts";
import { counted, fullTitle } from "../words/names.ts";

/** What is spoiled, each with a button that begins it again: nothing that needs it can go on before. */
export function MakeAgain({ spoiled }: { readonly spoiled: readonly ToMakeAgain[] }) {
  return (
    <>
      {spoiled.map((one) => (
        <SpoiledPart key={`${one.build} ${one.part}`} spoiled={one} />
      ))}
    </>
  );
}

function SpoiledPart({ spoiled: { build, part, waiting } }: { readonly spoiled: ToMakeAgain }) {
  const view = builds.value.find(({ id }) => id === build);
  if (!view) return null;
  const of = builds.value.length > 1 ? ` of ${view.name || view.sheet.title}` : "";
  const again = () => {
    void makeAgain(build, part);
    travel(partPath(build, part)); // there stand its new label and what is next for it
  };
  return (
    <Notice
      grave
      icon="spoiled"
      what={`${fullTitle(view.sheet, part)}${of} is spoiled. Make it again first.`}
      next={waiting ? `${counted(waiting, "operation")} ${waiting === 1 ? "waits" : "wait"} for it.` : ""}
    >
      <Button icon="plus" onTap={again}>
        Make it again
      </Button>
      <Link to={partPath(build, part)} class="text-way">
        What was done to it
      </Link>
    </Notice>
  );
}
