"""Photos at the bench: shown at once, kept through a dead server and a reload, sent when it is back, seen by others."""

import hashlib
import urllib.error
import urllib.request
from io import BytesIO

import pypdfium2
from browser.camera import camera_picture, expect_shown, picture_at, take
from browser.conftest import open_page
from browser.full_phone import FILL_UP
from browser.maker import STATUS_WORDS, expect_synced, log_of, open_operation, start_build
from full_disk import fill_disk_of, make_room_for
from PIL import Image
from playwright.sync_api import expect
from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE


def photos_in_pdf(server, build: str) -> int:
    """How many pictures the log's PDF has."""
    with urllib.request.urlopen(f"{server.url}/builds/{build}/log.pdf") as answer:
        document = pypdfium2.PdfDocument(answer.read())
    return sum(len(list(page.get_objects(filter=[FPDF_PAGEOBJ_IMAGE]))) for page in document)


def test_a_photo_taken_without_a_server_is_shown_kept_sent_and_seen_by_others(new_phone, server):
    one, other = new_phone(), new_phone()
    open_page(one)
    build = start_build(one)
    expect_synced(one)
    open_page(other)
    server.kill()
    open_operation(one, "Cut the sides")
    take(one, camera_picture())
    expect_shown(one)
    expect(one.get_by_role("status").first).to_contain_text("1 thing and 1 photo wait on this phone")
    one.goto("about:blank")
    one.add_init_script(STATUS_WORDS)
    open_page(one, f"/b/{build}/o/A%2Fcut-sides")
    expect_shown(one)
    expect(one.get_by_role("status").first).to_contain_text("1 thing and 1 photo wait on this phone")
    said = one.evaluate("window.said")
    assert said and not [words for words in said if "All is with the server" in words]
    server.start()

    expect_synced(one)
    (photo,) = log_of(server, build)["photos"]
    picture = picture_at(server, photo["sha256"])
    assert hashlib.sha256(picture).hexdigest() == photo["sha256"]
    kept = Image.open(BytesIO(picture))
    assert (kept.format, kept.size) == ("JPEG", (1067, 1600))  # the quarter turn is in the picture itself
    assert (len(kept.getexif()), "exif" in kept.info) == (0, False)
    assert photos_in_pdf(server, build) == 1

    expect_synced(other)
    other.get_by_role("link", name="Builds").click()
    open_operation(other, "Cut the sides")
    expect_shown(other)
    server.kill()
    other.goto(f"/b/{build}/o/A%2Fcut-sides")
    expect_shown(other)


def test_a_photo_that_is_still_on_another_phone_is_told_and_comes_by_itself(new_phone, server):
    one, other = new_phone(), new_phone()
    open_page(one)
    build = start_build(one)
    one.route("**/photos/*", lambda route: route.abort())
    open_operation(one, "Cut the sides")
    take(one, camera_picture(400, 300))
    expect_shown(one)
    expect(one.get_by_role("status").first).to_contain_text("1 photo waits on this phone.", timeout=20_000)
    open_page(other, f"/b/{build}/o/A%2Fcut-sides")
    other.locator(".picture", has_text="Not here yet").click()
    expect(other.get_by_role("dialog")).to_contain_text("Look at it on the phone that took it.")
    assert photos_in_pdf(server, build) == 0

    one.unroute("**/photos/*")
    one.reload()

    expect_synced(one)
    expect(other.get_by_role("dialog").get_by_role("img")).to_be_visible(timeout=20_000)


def test_a_photo_of_a_part_stands_in_its_history_and_opens_whole(phone):
    start_build(phone)
    open_operation(phone, "Cut the sides")
    phone.get_by_role("link", name="About Side 1").click()
    take(phone, camera_picture(400, 300))
    expect_shown(phone)
    phone.locator(".story .picture").click()

    expect(phone.get_by_role("dialog").get_by_role("img", name="Side 1")).to_be_visible()
    expect(phone.get_by_role("dialog").locator("figcaption")).to_contain_text("Side 1")

    phone.keyboard.press("Escape")
    expect(phone.get_by_role("dialog")).to_have_count(0)


def test_the_same_picture_may_be_chosen_for_two_parts_and_a_file_that_is_none_is_told(phone):
    start_build(phone)
    open_operation(phone, "Cut the sides")
    picture = camera_picture(400, 300)
    for _ in range(2):
        take(phone, picture)
        phone.wait_for_timeout(300)
    expect_shown(phone, 2)
    take(phone, {"name": "list.jpg", "mimeType": "image/jpeg", "buffer": b"no picture at all"})

    expect(phone.get_by_role("alert")).to_contain_text("This picture cannot be read here. Take it with the camera")


def test_a_photo_that_finds_no_room_on_the_server_waits_on_the_phone_which_says_why(new_phone, server):
    phone = new_phone()
    open_page(phone)
    build = start_build(phone)
    expect_synced(phone)
    open_operation(phone, "Cut the sides")
    fill_disk_of(server.process.pid)
    take(phone, camera_picture())
    expect_shown(phone)
    status = phone.get_by_role("status").first
    expect(status).to_contain_text("1 thing and 1 photo wait on this phone")
    expect(status).to_contain_text("is full. Make room, then try again; what waits on the phones stays there.")
    phone.goto("about:blank")
    open_page(phone, f"/b/{build}/o/A%2Fcut-sides")
    expect_shown(phone)
    make_room_for(server.process.pid)

    expect_synced(phone)
    (photo,) = log_of(server, build)["photos"]
    assert hashlib.sha256(picture_at(server, photo["sha256"])).hexdigest() == photo["sha256"]


def test_a_full_phone_says_that_the_photo_was_not_kept(new_phone, server):
    phone = new_phone()
    devtools = phone.context.new_cdp_session(phone)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": server.url, "quotaSize": 12_000_000})
    open_page(phone)
    build = start_build(phone)
    expect_synced(phone)
    open_operation(phone, "Cut the sides")
    phone.evaluate(FILL_UP)
    take(phone, camera_picture())

    expect(phone.get_by_role("alert")).to_contain_text("the photo was not kept. Free some room", timeout=15_000)
    assert log_of(server, build)["photos"] == []
