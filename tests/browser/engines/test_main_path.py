"""From the glue-up to clamps off in the other engines that phones have, with the server killed in the middle."""

from browser.conftest import until
from browser.engines.tab import LATER, ask, sees, tap, texts
from browser.maker import glue_next, log_of

MINUTE = 60_000
MAIN = ".deeds .main"
CONTROLLED = "navigator.serviceWorker.controller !== null"


def test_a_glue_up_goes_on_with_the_server_dead_rings_when_due_and_syncs_without_doubles(tab, server):
    build = glue_next(server)
    before = log_of(server, build)["entries"]
    tab.open(f"{server.url}/b/{build}/o/A%2Fglue-frame")
    sees(tab, "h1", "Glue the frame")
    until(lambda: tab.value(CONTROLLED), "the service worker is in charge")
    for deed in ("Begin", "Glue on", "Clamped"):
        tap(tab, MAIN, deed)
    sees(tab, ".status-line", "In clamps")
    sees(tab, "[role=status]", "All is with the server")
    assert [] == [line for line in texts(tab, ".sync-line") if "newer page" in line]

    server.kill()
    tab.reload()
    sees(tab, ".status-line", "In clamps")
    shown = texts(tab, "[role=timer]")
    until(lambda: texts(tab, "[role=timer]") != shown, "the clock runs on")

    assert [] == texts(tab, ".ring-card")

    ask(tab, LATER, 61 * MINUTE)
    sees(tab, ".ring-card", "Pare the squeeze-out")
    tap(tab, ".ring-card button", "Pared")
    sees(tab, ".ring-card", "Clamps may come off")
    tap(tab, ".ring-card button", "Clamps off")
    for part in ("Side 1", "Side 2", "Rail"):
        tap(tab, ".tick[aria-pressed=false]", part)
    tap(tab, ".check button", "Good")
    tap(tab, MAIN, "Finish")
    sees(tab, "[role=status]", "on this phone since")

    server.start()
    sees(tab, "[role=status]", "All is with the server")
    entries = log_of(server, build)["entries"][len(before) :]

    assert KINDS == sorted(entry["kind"] for entry in entries)


KINDS = sorted(
    [
        "began", "glue-on", "clamped", "acknowledged", "pared", "acknowledged", "clamps-off",
        "ticked", "ticked", "ticked", "checked", "finished",
    ]
)  # fmt: skip
