"""A phone's camera as the page sees it: a picture as it comes from the lens, taking it, and where it then shows."""

import urllib.error
import urllib.request
from io import BytesIO

from PIL import Image
from playwright.sync_api import Page, expect

GPS = 0x8825
"""The tag under which a camera writes where it was. Exif 3.0 (CIPA DC-008), 4.6.3."""


def camera_picture(wide: int = 3000, high: int = 2000) -> dict:
    """As a phone's camera hands it over: large, lying on its side, and telling where it was taken."""
    exif = Image.Exif()
    exif[0x0112] = 6  # Exif orientation: to be turned a quarter to the right
    exif.get_ifd(GPS)[1] = "N"
    made = BytesIO()
    Image.linear_gradient("L").resize((wide, high)).convert("RGB").save(made, "JPEG", exif=exif)
    return {"name": "bench.jpg", "mimeType": "image/jpeg", "buffer": made.getvalue()}


def take(page: Page, picture: dict) -> None:
    """With the camera, as far as the page can tell."""
    with page.expect_file_chooser() as opened:
        page.get_by_role("button", name="Photo", exact=True).click()
    opened.value.set_files(picture)


def expect_shown(page: Page, count: int = 1) -> None:
    """So many photos in sight, each decoded."""
    expect(page.locator(".picture img")).to_have_count(count, timeout=15_000)
    page.wait_for_function("[...document.querySelectorAll('.picture img')].every((i) => i.naturalWidth > 0)")


def picture_at(server, sha256: str) -> bytes | None:
    """What the server has under that name."""
    try:
        with urllib.request.urlopen(f"{server.url}/photos/{sha256}") as answer:
            return answer.read()
    except urllib.error.HTTPError:
        return None
