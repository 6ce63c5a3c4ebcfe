import { syncing } from "../../live.ts";

/** What this phone can do now, and what is missing for the rest. */
export function ThisPhone() {
  return (
    <section class="block">
      <h2>This phone</h2>
      <p>{syncing.value.sentence}</p>
    </section>
  );
}
