import "./take.css";
import { useSignal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { Button } from "../../controls/button.tsx";
import { Refused } from "../../findings.ts";
import { takePhoto } from "../../live/photos.ts";
import { record } from "../../live/record.ts";

type TakeProps = { readonly build: string; readonly about: readonly string[] };

/** Two buttons: the camera, and a picture taken before. */
export function TakePhoto({ build, about }: TakeProps) {
  const problem = useSignal("");
  const camera = useRef<HTMLInputElement>(null);
  const pictures = useRef<HTMLInputElement>(null);
  const keep = async (input: HTMLInputElement) => {
    const [file] = input.files ?? [];
    if (!file) return;
    try {
      problem.value = "";
      await record(build, await takePhoto(file), about);
    } catch (error) {
      problem.value =
        error instanceof Refused ? error.message : `The photo could not be kept: ${error}. Take it again.`;
    }
    input.value = ""; // The same picture may be chosen again.
  };
  const chosen = (event: Event) => void keep(event.currentTarget as HTMLInputElement);
  return (
    <>
      <Button icon="photo" onTap={() => camera.current?.click()}>
        Photo
      </Button>
      <Button icon="pictures" onTap={() => pictures.current?.click()}>
        Pick photo
      </Button>
      <input ref={camera} type="file" accept="image/*" capture="environment" hidden onChange={chosen} />
      <input ref={pictures} type="file" accept="image/*" hidden onChange={chosen} />
      {problem.value && (
        <p class="trouble wide" role="alert">
          {problem.value}
        </p>
      )}
    </>
  );
}
