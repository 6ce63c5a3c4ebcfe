"""What stands on the phone's screen with the page out of sight: shown by the page, or pushed by the server."""

import json
import re
import time
from datetime import datetime

import msgspec
import pytest
from benchbell.alerts.notice import Notice
from browser.conftest import open_page, until
from browser.maker import IN_TURN, OTHER_PHONE, glue_next, log_of, post, uuid7
from playwright.sync_api import expect

MINUTE = 60_000
GLUE = "A/glue-frame"
HIDE = "Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true })"
ALL = f"({IN_TURN})(() => self.registration.getNotifications())"
STANDING = f"""{ALL}.then(all => all.map(
    ({{ title, body, data, actions }}) => ({{ title, body, ring: data.ring, actions: actions.map(a => a.title) }})))"""
TAPPED = f"""async ([kind, action]) => {{
    const [notification] = (await {ALL}).filter(({{ data }}) => data.kind === kind);
    self.dispatchEvent(new NotificationEvent("notificationclick", {{ notification, action }}));
}}"""


def now_ms():
    return time.time_ns() // 1_000_000


class Bench:
    """A glue-up that another phone clamped two hours ago, at a server, and a phone with push."""

    def __init__(self, server, page):
        self.server, self.page = server, page
        self.build = ""
        self.clamped = now_ms() - 120 * MINUTE
        self.sent = 3
        open_page(page)
        self.cdp = page.context.new_cdp_session(page)
        self.known = []
        self.cdp.on("ServiceWorker.workerRegistrationUpdated", lambda news: self.known.extend(news["registrations"]))
        self.cdp.send("ServiceWorker.enable")
        (self.worker,) = page.context.service_workers
        page.wait_for_function("navigator.serviceWorker.controller !== null")
        while not self.known:
            page.wait_for_timeout(20)

    def glue(self):
        """What the other phone did."""
        self.build = glue_next(self.server)
        self.tell({"kind": "glue-on", "operation": GLUE}, self.clamped - 4 * MINUTE)
        self.tell({"kind": "clamped", "operation": GLUE}, self.clamped)

    def tell(self, what, ms=None):
        """The other phone records it."""
        self.sent += 1
        at = ms or now_ms()
        entry = {
            "id": uuid7(at), "n": self.sent, "at": {"ms": at, "counter": 0, "device": OTHER_PHONE},
            "build": self.build, "about": [GLUE], "what": what,
        }  # fmt: skip
        post(self.server, "/sync", {"page": 2, "after": 0, "log_epoch": "", "happenings": [entry]})

    def hear_elsewhere(self):
        """The other phone pares, hears that the clamps may come off, and takes them off."""
        self.tell({"kind": "pared", "operation": GLUE})
        self.tell({"kind": "acknowledged", "operation": GLUE, "ring": f"in-clamps|off|{self.clamped}"})

    def push(self, kind, stage, title, **changed):
        """What the server pushes, as the browser's push service hands it over; plain, it was decrypted by then."""
        notice = Notice(
            title=title, about="Glue the frame, piece A · Stool", text="Do it.",
            tag=f"{self.build}|{GLUE}|{kind}|{self.clamped}", build=self.build, operation=GLUE, kind=kind, stage=stage,
            ring=f"{kind}|{stage}|{self.clamped}", at=now_ms(), due=now_ms(), sent=now_ms(), ringing=None,
            url=f"/b/{self.build}/o/A%2Fglue-frame",
        )  # fmt: skip
        self.deliver(msgspec.json.encode(msgspec.structs.replace(notice, **changed)).decode())

    def deliver(self, text):
        """One push message."""
        id = self.known[-1]["registrationId"]
        self.cdp.send(
            "ServiceWorker.deliverPushMessage", {"origin": self.server.url, "registrationId": id, "data": text}
        )

    def standing(self):
        """The notices that stand, by title."""
        return {one["title"]: one for one in self.worker.evaluate(STANDING)}

    def wait_for(self, *titles):
        """Until just these stand."""
        until(lambda: sorted(self.standing()) == sorted(titles), f"the notices are {titles}")

    def tap(self, kind, action):
        """A tap on a notice, or on one of its buttons."""
        self.worker.evaluate(TAPPED, [kind, action])

    def kinds(self):
        """What the log tells happened."""
        return [entry["kind"] for entry in log_of(self.server, self.build)["entries"]]


@pytest.fixture
def bench(server, new_phone):
    return Bench(server, new_phone())


@pytest.fixture
def ringing(bench):
    """The page out of sight, and two notices of it."""
    bench.page.evaluate(HIDE)
    bench.glue()
    bench.wait_for("Clamps may come off", "Pare the squeeze-out")
    return bench


def test_a_push_says_what_it_is_about_how_late_it_is_and_offers_what_to_do(bench):
    due = now_ms() - 12 * MINUTE
    bench.push("in-clamps", "off", "Clamps may come off", due=due)
    bench.wait_for("Clamps may come off")
    notice = bench.standing()["Clamps may come off"]
    about, late, do = notice["body"].split("\n")
    at = datetime.fromtimestamp(due / 1000)

    assert (about, do) == ("Glue the frame, piece A · Stool", "Do it.")
    assert late in (f"12 min late, due {at:%H:%M}.", f"12 min late, due {at:%a %H:%M}.")  # before midnight: the weekday
    assert notice["actions"] == ["Clamps off", "Ten more minutes"]  # this browser shows two of the three


def test_what_comes_in_time_says_nothing_of_being_late_and_a_deadline_cannot_be_put_off(bench):
    bench.push("open", "last", "Thirty seconds of open time left")
    bench.wait_for("Thirty seconds of open time left")
    notice = bench.standing()["Thirty seconds of open time left"]

    assert notice["body"].split("\n") == ["Glue the frame, piece A · Stool", "Do it."]
    assert notice["actions"] == ["Clamped", "Open"]


def test_where_it_was_too_cold_no_notice_offers_to_take_the_clamps_off(bench):
    bench.push("in-clamps", "too-cold", "Too cold: leave the clamps on")
    bench.wait_for("Too cold: leave the clamps on")

    assert bench.standing()["Too cold: leave the clamps on"]["actions"] == ["Ten more minutes", "Open"]


def test_a_newer_ring_of_a_clock_takes_the_older_ones_place(bench):
    for stage, title in (("half", "Half is gone"), ("two-minutes", "Two minutes left"), ("last", "Clamp now")):
        bench.push("open", stage, title)

    bench.wait_for("Clamp now")


def test_what_is_pushed_while_the_page_looks_at_what_stands_is_not_lost(bench):
    bench.page.evaluate(f"""() => {{
        const look = () => ({IN_TURN})(async () => (await navigator.serviceWorker.ready).getNotifications());
        self.looking = setInterval(look, 1);
    }}""")
    for kind in ("in-clamps", "rest", "recoat", "cure"):
        bench.push(kind, "off", f"{kind} is over")

    bench.wait_for(*(f"{kind} is over" for kind in ("in-clamps", "rest", "recoat", "cure")))
    bench.page.evaluate("clearInterval(self.looking)")


@pytest.mark.parametrize("text", ["", "no message", json.dumps(None)])
def test_a_push_that_cannot_be_read_is_shown_all_the_same(bench, text):
    bench.deliver(text)

    bench.wait_for("Something is due")


def test_a_local_notice_is_made_like_a_pushed_one_and_stands_there_once(ringing):
    local = ringing.standing()["Clamps may come off"]
    ringing.push("in-clamps", "off", "Clamps may come off")
    until(lambda: ringing.standing()["Clamps may come off"]["body"].endswith("Do it."), "the pushed one stands")

    ringing.wait_for("Clamps may come off", "Pare the squeeze-out")
    assert local["actions"] == ringing.standing()["Clamps may come off"]["actions"]
    assert local["body"].startswith("Glue the frame · Stool\n") and " late, due " in local["body"]


def test_clamps_off_on_a_notice_is_recorded_and_silences_it(ringing):
    ringing.tap("in-clamps", "end")

    expect(ringing.page.locator(".status-line")).to_contain_text("In hand")
    ringing.wait_for()  # with the clamps off nobody pares any more
    until(lambda: {"acknowledged", "clamps-off"} <= set(ringing.kinds()), "the server has it")


def test_ten_more_minutes_on_a_notice_opens_the_operation_and_asks_for_the_reason(ringing):
    ringing.tap("squeeze-out", "end")
    ringing.tap("in-clamps", "longer")
    sheet = ringing.page.get_by_role("dialog", name="Leave it longer")

    expect(sheet.get_by_role("radio", name="10 minutes")).to_be_checked()

    sheet.get_by_label("Reason").fill("A cold corner")
    sheet.get_by_role("button", name="Leave it longer").click()
    until(lambda: "lengthened" in ringing.kinds(), "the server has it")
    (longer,) = [one for one in log_of(ringing.server, ringing.build)["entries"] if one["kind"] == "lengthened"]

    assert "10 min" in longer["text"] and "A cold corner" in longer["text"]


def test_a_tap_beside_the_buttons_opens_the_operation_and_counts_as_heard(ringing):
    ringing.tap("squeeze-out", "")

    expect(ringing.page.get_by_role("heading", level=1, name="Glue the frame")).to_be_attached()
    ringing.wait_for("Clamps may come off")
    assert "pared" not in ringing.kinds()


def test_a_page_opened_from_a_notice_does_what_was_tapped_once(bench):
    bench.glue()
    bench.page.goto(f"/b/{bench.build}/o/A%2Fglue-frame?do=end&clock=in-clamps")
    until(lambda: "clamps-off" in bench.kinds(), "the server has it")

    expect(bench.page).to_have_url(re.compile("/o/A%2Fglue-frame$"))


def test_what_was_heard_elsewhere_goes_from_an_open_page_out_of_sight(ringing):
    ringing.push("in-clamps", "off", "Clamps may come off")
    ringing.hear_elsewhere()

    ringing.wait_for()


def test_what_was_pushed_and_heard_elsewhere_with_the_page_closed_goes_when_it_is_opened(bench):
    bench.glue()
    bench.page.goto("about:blank")
    bench.push("in-clamps", "off", "Clamps may come off")
    bench.wait_for("Clamps may come off")
    bench.hear_elsewhere()
    bench.page.goto("/")

    bench.wait_for()


def test_the_next_push_takes_away_what_was_pushed_and_heard_by_then_with_no_page_open(bench):
    bench.page.goto("about:blank")
    clamps, rest, unheard = (f"|{GLUE}|{kind}|{bench.clamped}" for kind in ("in-clamps", "rest", "pot"))
    bench.push("in-clamps", "off", "Clamps may come off", ringing=(clamps, unheard))
    bench.push("pot", "over", "Pot life is over", ringing=(clamps, unheard))
    bench.wait_for("Clamps may come off", "Pot life is over")
    bench.push("rest", "rested", "Rested", ringing=(rest, unheard))

    bench.wait_for("Pot life is over", "Rested")


def test_a_push_leaves_alone_what_the_page_has_shown_of_a_clock_that_the_server_may_not_know(ringing):
    known = (f"{ringing.build}|{GLUE}|rest|{ringing.clamped}",)
    # Made later than all that the page knows, so that the page leaves it alone too.
    ringing.push("rest", "rested", "Rested", sent=now_ms() + 60 * MINUTE, ringing=known)

    ringing.wait_for("Clamps may come off", "Pare the squeeze-out", "Rested")


def test_a_push_that_knows_more_than_the_page_stays(bench):
    bench.push("in-clamps", "off", "Clamps may come off", sent=now_ms() + 60 * MINUTE)
    bench.glue()
    bench.hear_elsewhere()
    bench.page.goto("/")
    expect(bench.page.get_by_role("status").first).to_contain_text("All is with the server")

    assert sorted(bench.standing()) == ["Clamps may come off"]
