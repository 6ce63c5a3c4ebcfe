/** The composition root: opens what the phone keeps, starts sync, and picks the screen. */
import { render } from "preact";
import { startAlarms } from "./alarm.ts";
import { Places } from "./controls/places.tsx";
import { route, start } from "./live.ts";
import { Picked } from "./screens/pick.tsx";
import { RingCard } from "./screens/ringcard.tsx";
import { SyncLine } from "./screens/syncline.tsx";
import "./style/all.css";

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

render(<App />, document.body);
start()
  .then(startAlarms)
  .catch((error: unknown) => console.error(error));
