"""A photo from a paired phone, to the records and the log on the terminal."""

import json

import pypdfium2
from browser.camera import camera_picture, expect_shown, take
from browser.maker import expect_synced, open_operation, start_build
from browser.secure.pairing import pair_at
from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE


def test_a_paired_phones_photo_is_in_the_log_that_the_terminal_writes(phone, shop, tmp_path):
    pair_at(phone, shop.scanned(), "Phone in the apron")
    build = start_build(phone)
    open_operation(phone, "Cut the sides")
    take(phone, camera_picture(400, 300))
    expect_shown(phone)
    expect_synced(phone)
    (photo,) = json.loads(shop.tell("log", build, "--as", "json"))["photos"]
    shop.tell("log", build, "--as", "pdf", "--out", str(tmp_path / "log.pdf"))
    pages = pypdfium2.PdfDocument(tmp_path / "log.pdf")

    assert ("Cut the sides", "Phone in the apron") == (photo["shows"], photo["who"])
    assert 1 == sum(len(list(page.get_objects(filter=[FPDF_PAGEOBJ_IMAGE]))) for page in pages)
