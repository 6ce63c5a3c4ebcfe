import "./picture.css";
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Dialog } from "../../controls/dialog.tsx";
import { Icon } from "../../controls/icon.tsx";
import { type PhotoView, watchPhoto } from "../../live/photos.ts";
import { dayAndTime } from "../../moments.ts";
import type { Happening, Photo } from "../../wire.gen.ts";
import { who } from "../words/devices.ts";
import { fullTitle } from "../words/names.ts";

type PictureProps = { readonly view: BuildView; readonly h: Happening };

/** A photo, small; a tap shows it whole. */
export function Picture({ view, h }: PictureProps) {
  return h.what?.kind === "photo" ? <Thumbnail photo={h.what} h={h} words={wordsOf(view, h)} /> : null;
}

/** All photos of some happenings, side by side. */
export function Pictures({ view, of }: { readonly view: BuildView; readonly of: readonly Happening[] }) {
  const photos = of.filter(({ what }) => what?.kind === "photo");
  return photos.length === 0 ? null : (
    <ul class="pictures" aria-label="Photos">
      {photos.map((h) => (
        <li key={h.id}>
          <Picture view={view} h={h} />
        </li>
      ))}
    </ul>
  );
}

function Thumbnail({ photo, h, words }: { readonly photo: Photo; readonly h: Happening; readonly words: string }) {
  const seen = useSignal<PhotoView | null>(null);
  const whole = useSignal(false);
  useEffect(() => watchPhoto(photo.sha256, (found) => (seen.value = found)), [photo.sha256]);
  const found = seen.value;
  const here = found && "url" in found;
  return (
    <>
      <button type="button" class="picture" aria-label={`${words}: see it whole`} onClick={() => (whole.value = true)}>
        {here ? (
          <img src={found.url} alt={words} decoding="async" />
        ) : (
          <span class="not-here">
            <Icon name="photo" />
            {found ? "Not here yet" : ""}
          </span>
        )}
      </button>
      {whole.value && (
        <Dialog title="Photo" onClose={() => (whole.value = false)}>
          <figure class="whole">
            {here ? <img src={found.url} alt={words} /> : <p>{found && `${found.what} ${found.next_step}`}</p>}
            <figcaption>
              {words}
              <small>{who(h.at.device)}</small>
            </figcaption>
          </figure>
        </Dialog>
      )}
    </>
  );
}

/** What it shows and when: "Cut the sides, piece A, 25 Nov 14:10". */
function wordsOf(view: BuildView, h: Happening): string {
  const { what, about } = h;
  const text = what?.kind === "photo" ? what.text : "";
  const [first] = about;
  return [text || (first ? fullTitle(view.sheet, first) : "Photo"), dayAndTime(view.book.moment(h).ms)].join(", ");
}
