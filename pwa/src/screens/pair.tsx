import { useSignal } from "@preact/signals";
import { Submit } from "../controls/button.tsx";
import { Field } from "../controls/field.tsx";
import { Notice } from "../controls/notice.tsx";
import { Top } from "../controls/top.tsx";
import { wantLasting } from "../live/keeping.ts";
import { askServer } from "../live/session.ts";
import { becomeDevice } from "../store/database.ts";
import type { Explanation } from "../store/server_client.ts";
import type { ThisDevice } from "../wire.gen.ts";

/** The one-time code from the server's screen makes this device one of the shop. */
export function PairScreen({ title }: { readonly title: string }) {
  const code = useSignal(location.hash.slice(1));
  const name = useSignal("");
  const refusal = useSignal<Explanation | null>(null);
  const isAsking = useSignal(false);
  const send = async (event: Event) => {
    event.preventDefault();
    const body = { code: code.value.trim(), name: name.value.trim() };
    const reply = await askServer<ThisDevice>("/pair", { body });
    if (reply.kind !== "ok") {
      refusal.value = reply.problem;
      return;
    }
    await becomeDevice(reply.value.device);
    isAsking.value = true;
    await wantLasting();
    // Loads the page again, so that everything begins with the new token.
    location.assign("/");
  };
  return (
    <>
      <Top title={title} back="/shop" />
      <form class="stack block" onSubmit={(event) => void send(event)}>
        <p>
          The server shows the code when it starts, or after <code>benchbell pair</code>; a paired device shows one
          under Shop. It is good for ten minutes and one device.
        </p>
        <Field label="Code" value={code.value} upper onText={(text) => (code.value = text)} />
        <Field
          label="Name of this device"
          value={name.value}
          hint="Such as “phone in the apron”; the log says who did what."
          onText={(text) => (name.value = text)}
        />
        {refusal.value && <Notice what={refusal.value.what} next={refusal.value.next_step} grave />}
        {isAsking.value && (
          <Notice icon="done" what="Paired." next="If the browser asks whether this page may keep data, allow it." />
        )}
        <Submit>Pair</Submit>
      </form>
    </>
  );
}
