/** The composition root: opens what the phone keeps, starts sync, and picks the screen. */
import "./style/all.css";
import { render } from "preact";
import { startAlarms } from "./alarm.ts";
import { Button } from "./controls/button.tsx";
import { Notice } from "./controls/notice.tsx";
import { Places } from "./controls/places.tsx";
import { Top } from "./controls/top.tsx";
import { route, start } from "./live.ts";
import { Picked } from "./screens/pick.tsx";
import { RingCard } from "./screens/ringcard.tsx";
import { SyncLine } from "./screens/syncline.tsx";
import { learnNames } from "./screens/words/devices.ts";

function App() {
  const wall = route.value.screen === "wall";
  return (
    <>
      {!wall && <SyncLine />}
      <main class={wall ? "wall" : "page"}>
        <Picked route={route.value} />
      </main>
      {!wall && <Places />}
      <RingCard />
    </>
  );
}

/** The phone will not let the page keep anything, so nothing may be recorded on it. */
function Closed({ why }: { why: string }) {
  return (
    <main class="page">
      <Top title="This phone keeps nothing" />
      <Notice
        grave
        what={`The page cannot open its store on this phone: ${why}.`}
        next="Leave private browsing, allow this page to keep data, or free some room; then load it again."
      >
        <Button onTap={() => location.reload()}>Load it again</Button>
      </Notice>
    </main>
  );
}

start().then(
  () => {
    render(<App />, document.body);
    startAlarms();
    void learnNames();
  },
  (error: unknown) => render(<Closed why={error instanceof Error ? error.message : String(error)} />, document.body),
);
