"""A photo as a camera hands it over, in the other engines: it arrives small and tells nothing but what it shows."""

from base64 import b64encode
from io import BytesIO

from browser.camera import camera_picture, picture_at
from browser.conftest import until
from browser.engines.tab import ask, sees
from browser.maker import glue_next, log_of
from PIL import Image

CHOOSE = """(where, picture) => {
  const bytes = Uint8Array.from(atob(picture), (one) => one.charCodeAt(0));
  const chosen = new DataTransfer();
  chosen.items.add(new File([bytes], "bench.jpg", { type: "image/jpeg" }));
  const input = document.querySelector(where);
  input.files = chosen.files;
  input.dispatchEvent(new Event("change", { bubbles: true }));
}"""
"""As the camera gives a picture to the page."""


def test_a_photo_arrives_small_and_bare(tab, server):
    build = glue_next(server)
    tab.open(f"{server.url}/b/{build}/o/A%2Fglue-frame")
    sees(tab, "h1", "Glue the frame")
    ask(tab, CHOOSE, "input[capture]", b64encode(camera_picture()["buffer"]).decode())
    until(lambda: log_of(server, build)["photos"], "the log names the photo")
    (photo,) = log_of(server, build)["photos"]
    until(lambda: picture_at(server, photo["sha256"]), "the photo is with the server")
    picture = Image.open(BytesIO(picture_at(server, photo["sha256"])))

    assert ("JPEG", (1067, 1600)) == (picture.format, picture.size)  # the quarter turn is in the picture itself
    assert {} == dict(picture.getexif())
