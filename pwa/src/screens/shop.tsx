import "./shop.css";
import { Link } from "../controls/button.tsx";
import { Choice } from "../controls/field.tsx";
import { Top } from "../controls/top.tsx";
import { shownIn } from "../live/state.ts";
import { AirReading } from "./operation/air_reading.tsx";
import { WALL } from "./paths.ts";
import { Clamps } from "./shop/clamps.tsx";
import { ClosedPage } from "./shop/closed_page.tsx";
import { DeviceList } from "./shop/devices.tsx";
import { FinishingRoom } from "./shop/finishing_room.tsx";
import { Fixtures } from "./shop/fixtures.tsx";
import { Hours } from "./shop/hours.tsx";
import { Records } from "./shop/records.tsx";
import { ThisPhone } from "./shop/this_phone.tsx";

/** The air, the units, the clamps and fixtures, what this phone can do, and which devices there are. */
export function ShopScreen({ title }: { readonly title: string }) {
  return (
    <>
      <Top title={title} />
      <AirReading />
      <section class="block">
        <Choice
          label="This device shows sizes in"
          value={shownIn.value}
          options={[
            ["recipe", "The recipe's units"],
            ["mm", "Millimetres"],
            ["in", "Inches"],
          ]}
          onChoice={(value) => {
            shownIn.value = value === "mm" || value === "in" ? value : "recipe";
          }}
        />
      </section>
      <ThisPhone />
      <ClosedPage />
      <Hours />
      <Clamps />
      <Fixtures />
      <FinishingRoom />
      <DeviceList />
      <Records />
      <Link to={WALL} class="button plain" icon="wall">
        <span>Wall: large figures for an old tablet</span>
      </Link>
      <p class="soft safety">
        The tool maker's manual, the glue's label and local codes come first. This is a memory aid, not training; it
        never says that a cut or a joint is safe.
      </p>
    </>
  );
}
