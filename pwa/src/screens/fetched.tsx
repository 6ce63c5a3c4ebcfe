import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect } from "preact/hooks";
import { Button } from "../controls/button.tsx";
import { Notice } from "../controls/notice.tsx";
import { askServer } from "../live/session.ts";
import type { Reply } from "../store/server_client.ts";

type FetchedProps<T> = {
  readonly path: string;
  readonly sent?: unknown;
  readonly children: (value: T) => ComponentChildren;
};

/** Shows what the server answers to a question; or why there is no answer, and a button to try again. */
export function Fetched<T>({ path, sent, children }: FetchedProps<T>) {
  const answer = useSignal<Reply<T> | null>(null);
  const tries = useSignal(0);
  useEffect(() => {
    let wanted = true;
    void askServer<T>(path, { body: sent }).then((got) => {
      if (wanted) answer.value = got;
    });
    return () => {
      wanted = false;
    };
  }, [path, tries.value]);
  const got = answer.value;
  if (got === null) return <p class="soft">Asking the server…</p>;
  if (got.kind === "ok") return <>{children(got.value)}</>;
  return (
    <Notice what={got.problem.what} next={got.problem.next_step} icon="away">
      <Button
        onTap={() => {
          answer.value = null;
          tries.value += 1;
        }}
      >
        Try again
      </Button>
    </Notice>
  );
}
