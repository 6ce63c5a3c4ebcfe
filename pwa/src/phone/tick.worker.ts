/** Beats for a page in the background: a page's own timers are slowed there, a worker's are not. */
export {};

let extra: ReturnType<typeof setTimeout> | undefined;

setInterval(() => postMessage(null), 1000);

addEventListener("message", ({ data }: MessageEvent<number>) => {
  clearTimeout(extra);
  extra = setTimeout(() => postMessage(null), data);
});
