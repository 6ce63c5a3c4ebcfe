import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { Button } from "../../controls/button.tsx";
import { Notice } from "../../controls/notice.tsx";
import { Refused } from "../../findings.ts";
import { type Camera, openCamera, type Region, WHOLE, watch } from "../../phone/camera.ts";
import type { Seen } from "../../phone/reading.ts";

type ViewfinderProps = {
  /** After every look; corners are shares of the frame. */
  readonly onLook: (seen: readonly Seen[]) => void;
  /** What to outline, each with a name; a tap on it takes it. */
  readonly outlined: readonly Seen[];
  readonly onTap: (text: string) => void;
};

type CameraError = { readonly what: string; readonly next_step: string };

/** The camera's picture with the labels in it outlined. The camera runs while this is shown and the page is in view. */
export function Viewfinder({ onLook, outlined, onTap }: ViewfinderProps) {
  const video = useRef<HTMLVideoElement>(null);
  const camera = useSignal<Camera | null>(null);
  const error = useSignal<CameraError | null>(null);
  const tries = useSignal(0);
  const latest = useRef(onLook);
  latest.current = onLook;

  useEffect(() => {
    const shown = video.current;
    if (!shown) return;
    const running = keepOpen(shown, {
      opened: (open) => {
        camera.value = open;
        error.value = null;
      },
      looked: (seen) => latest.current(seen),
      failed: (what) => {
        error.value = what;
      },
    });
    return running;
  }, [tries.value]);

  return (
    <section class="viewfinder" aria-label="Camera">
      {error.value && (
        <Notice what={error.value.what} next={error.value.next_step}>
          <Button onTap={() => tries.value++}>Try again</Button>
        </Notice>
      )}
      <div class="view" hidden={error.value !== null}>
        <video ref={video} muted playsInline />
        <Outlines video={video.current} seen={outlined} onTap={onTap} />
        {camera.value?.torch && <Lamp camera={camera.value} />}
      </div>
    </section>
  );
}

type Hooks = {
  readonly opened: (camera: Camera | null) => void;
  readonly looked: (seen: readonly Seen[]) => void;
  readonly failed: (error: CameraError) => void;
};

/** Opens the camera whenever the page is in view and lets it go when it is not. Call what it gives to end that. */
function keepOpen(video: HTMLVideoElement, hooks: Hooks): () => void {
  let stop: (() => void) | null = null;
  let wanted = true;
  let turn = 0;
  const change = () => {
    turn++;
    stop?.();
    stop = null;
    hooks.opened(null);
    if (wanted && !document.hidden) void begin(turn);
  };
  const begin = async (mine: number) => {
    try {
      const camera = await openCamera(video);
      if (mine !== turn) return camera.stop();
      const fail = (what: string) => hooks.failed({ what, next_step: "" });
      const unwatch = watch(camera, hooks.looked, fail, () => visible(video));
      stop = () => {
        unwatch();
        camera.stop();
      };
      hooks.opened(camera);
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      if (mine === turn) hooks.failed(error);
    }
  };
  document.addEventListener("visibilitychange", change);
  change();
  return () => {
    wanted = false;
    document.removeEventListener("visibilitychange", change);
    change();
  };
}

/** The part of the frame that is in sight: the picture fills the viewfinder, and what lies outside is not looked at. */
function visible({ videoWidth, videoHeight, clientWidth, clientHeight }: HTMLVideoElement): Region {
  if (!clientWidth || !clientHeight) return WHOLE;
  const scale = Math.max(clientWidth / videoWidth, clientHeight / videoHeight);
  const width = clientWidth / (videoWidth * scale);
  const height = clientHeight / (videoHeight * scale);
  return { x: (1 - width) / 2, y: (1 - height) / 2, width, height };
}

type OutlinesProps = {
  readonly video: HTMLVideoElement | null;
  readonly seen: readonly Seen[];
  readonly onTap: (text: string) => void;
};

/** A line round each label, to be tapped. The names stand on buttons below, for those who cannot aim. */
function Outlines({ video, seen, onTap }: OutlinesProps) {
  if (!video?.videoWidth) return null;
  const { videoWidth: width, videoHeight: height } = video;
  return (
    <svg viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="xMidYMid slice" aria-hidden="true">
      {seen.map(({ text, corners }, n) => (
        // biome-ignore lint/a11y/noStaticElementInteractions: the same
        <polygon
          key={`${n} ${text}`}
          points={corners.map(([x, y]) => `${x * width},${y * height}`).join(" ")}
          onClick={() => onTap(text)}
        />
      ))}
    </svg>
  );
}

/** The phone's lamp. */
function Lamp({ camera }: { readonly camera: Camera }) {
  const on = useSignal(false);
  const turn = () => {
    const wanted = !on.value;
    void camera.torch?.(wanted).then(
      () => {
        on.value = wanted;
      },
      () => {
        on.value = false;
      },
    );
  };
  return (
    <Button onTap={turn} pressed={on.value}>
      Lamp
    </Button>
  );
}
