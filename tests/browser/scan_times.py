"""How long scanning takes on a slow phone: moments taken from outside the page, which knows nothing of them."""

from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path

from browser.conftest import PHONE, QUIET, Server, open_page, until
from browser.film import View, film
from browser.maker import expect_synced
from playwright.sync_api import Page, sync_playwright

SLOWER = 4
"""Times slower than this machine. The browser slows the page's own thread alone; the reader's it cannot."""

WATCH = """
(() => {
  const moments = (window.moments = { opened: null, first: null, inView: null, part: null, looks: [] });
  const media = navigator.mediaDevices;
  const open = media.getUserMedia.bind(media);
  media.getUserMedia = async (wanted) => {
    const stream = await open(wanted);
    moments.opened = performance.now();
    return stream;
  };
  let begun = 0;
  window.VideoFrame = new Proxy(VideoFrame, {
    construct(Made, given) {
      begun = performance.now();
      return new Made(...given);
    },
  });
  window.Worker = class extends Worker {
    constructor(...given) {
      super(...given);
      this.addEventListener("message", ({ data }) => {
        if (!data?.seen) return;
        const now = performance.now();
        moments.looks.push(now - begun);
        if (data.seen.length) moments.first ??= now;
      });
    }
  };
  const pixel = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });
  const paperInView = (video) => {
    pixel.drawImage(video, video.videoWidth / 2, video.videoHeight / 2, 1, 1, 0, 0, 1, 1);
    return pixel.getImageData(0, 0, 1, 1).data[1] > 150;
  };
  const look = (video) => () => {
    if (paperInView(video)) moments.inView ??= performance.now();
    else video.requestVideoFrameCallback(look(video));
  };
  document.addEventListener("playing", ({ target }) => target.requestVideoFrameCallback(look(target)), true);
  const heading = () => {
    if (document.querySelector(".code-line")) moments.part ??= performance.now();
  };
  document.addEventListener("DOMContentLoaded", () =>
    new MutationObserver(heading).observe(document.body, { subtree: true, childList: true }));
})()
"""


@contextmanager
def slow_phone(chromium: str, server: Server, file: Path, *views: View):
    """A phone of that slowness whose camera sees these views, with what the server knows on it."""
    with sync_playwright() as playwright:
        switches = [*QUIET, *film(file, views, frame=(1280, 720))]
        browser = playwright.chromium.launch(executable_path=chromium, args=switches)
        context = browser.new_context(viewport=PHONE, has_touch=True, base_url=server.url, permissions=["camera"])
        context.add_init_script(WATCH)
        page = context.new_page()
        open_page(page)
        expect_synced(page)
        context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        yield page
        browser.close()


def moment(page: Page, name: str) -> Callable[[], object]:
    """Whether that moment has come, and what it is."""
    return lambda: page.evaluate(f"window.moments.{name}")


def to_part(page: Page) -> tuple[float, float]:
    """From the opened camera to the first label read, and from a label in view to its part shown; in ms."""
    page.get_by_role("link", name="Scan").click()
    until(moment(page, "part"), "the label's part is shown", 30)
    moments = page.evaluate("window.moments")
    return moments["first"] - max(moments["opened"], moments["inView"]), moments["part"] - moments["inView"]


def looks(page: Page, wanted: int) -> list[float]:
    """From taking a frame to knowing what is in it, so many times, in ms; in a mode that stays on the camera."""
    page.get_by_role("link", name="Scan").click()
    page.get_by_role("button", name="Tick off", exact=True).click()
    until(lambda: page.evaluate("window.moments.looks.length") >= wanted, f"{wanted} looks were taken", 60)
    times: list[float] = page.evaluate("window.moments.looks")
    return times
