"""Pictures: checked, kept once, served as what they are and nothing else."""

import hashlib
import struct
import threading
import zlib
from concurrent.futures import ThreadPoolExecutor

import pytest
from benchbell.store import photos
from benchbell.store.photos import MOST_BYTES, type_of
from pictures import picture
from PIL import ExifTags, Image
from scene import PHONE, for_one_machine, send
from scene import body as entry_body


@pytest.fixture
def client(tmp_path):
    with for_one_machine(tmp_path) as client:
        yield client


def name_of(body) -> str:
    return hashlib.sha256(body).hexdigest()


def put(client, body, name=None):
    return client.put(f"/photos/{name or name_of(body)}", content=body)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_picture_comes_back_to_the_letter_with_its_own_type(client, form):
    body = picture(form)
    kept, back = put(client, body), client.get(f"/photos/{name_of(body)}")

    assert {"sha256": name_of(body), "bytes": len(body)} == kept.json()
    assert (body, f"image/{form.lower()}") == (back.content, back.headers["content-type"])
    assert "nosniff" == back.headers["x-content-type-options"]
    assert "sandbox; default-src 'none'" == back.headers["content-security-policy"]
    assert "private, max-age=31536000, immutable" == back.headers["cache-control"]


def test_sending_a_picture_again_does_no_harm(client):
    body = picture("PNG")

    assert put(client, body).json() == put(client, body).json()
    assert 1 == len([file for file in (client.settings.data / "photos").rglob("*") if file.is_file()])


@pytest.mark.parametrize(
    "body",
    [
        b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
        b"GIF89a",
        b"%PDF-1.7",
        b"",
        b"<html>" + b"\xff\xd8\xff",
    ],
)
def test_what_is_no_picture_is_refused(client, body):
    refused = put(client, body)

    assert 400 == refused.status_code
    assert "This is not a JPEG, PNG or WebP picture." == refused.json()["error"]["what"]


def test_others_are_answered_while_a_picture_is_written(client, monkeypatch):
    began, may_end, order, write_whole = threading.Event(), threading.Event(), [], photos.write_whole

    def held(place, body):
        began.set()
        may_end.wait(10)  # on the event loop this would let nobody in, and end only by its limit
        order.append("written")
        write_whole(place, body)

    monkeypatch.setattr(photos, "write_whole", held)
    with ThreadPoolExecutor(1) as beside:
        kept = beside.submit(put, client, picture("PNG"))
        began.wait()
        other = client.get("/device")
        order.append("answered")
        may_end.set()

    assert (200, 200) == (kept.result().status_code, other.status_code)
    assert ["answered", "written"] == order


def test_a_picture_under_a_wrong_name_is_refused_and_leaves_nothing(client):
    refused = put(client, picture("PNG"), "0" * 64)

    assert "The photo's bytes are not those its name says. Send it again from the start." == " ".join(
        refused.json()["error"][part] for part in ("what", "next_step")
    )
    assert not [file for file in (client.settings.data).rglob("photos/**/*") if file.is_file()]


def test_a_picture_that_tells_where_it_was_taken_is_refused_and_leaves_nothing(client):
    exif = Image.Exif()
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    refused = put(client, picture("JPEG", exif=exif))

    assert (
        "This photo carries more than its picture: APP1 Exif, which may tell where it was taken. "
        "Take it on the page, which leaves that out."
    ) == " ".join(refused.json()["error"][part] for part in ("what", "next_step"))
    assert not [file for file in (client.settings.data).rglob("photos/**/*") if file.is_file()]


def test_a_picture_cut_in_the_middle_is_sent_again_whole(client):
    body = picture("JPEG", 400)
    cut = put(client, body[: len(body) // 2], name_of(body))
    whole = put(client, body)

    assert (400, 200) == (cut.status_code, whole.status_code)


def test_a_picture_has_a_largest_size(client):
    body = b"\xff\xd8\xff" + b"\0" * MOST_BYTES
    announced, in_pieces = put(client, body), put(client, iter([body[:7_000_000], body[7_000_000:]]), name_of(body))

    assert [(413, "too-large")] * 2 == [(a.status_code, a.json()["error"]["kind"]) for a in (announced, in_pieces)]


def test_a_picture_that_claims_more_pixels_than_a_server_can_hold_is_refused(client):
    bomb = png_claiming(100_000, 100_000)
    refused = put(client, bomb)

    assert len(bomb) < 20_000
    assert (413, "too-large") == (refused.status_code, refused.json()["error"]["kind"])
    assert "at most; this one claims 10,000,000,000." in refused.json()["error"]["what"]
    assert not [file for file in (client.settings.data).rglob("photos/**/*") if file.is_file()]


def test_a_picture_that_does_not_say_how_large_it_is_is_refused(client):
    whole = picture("JPEG")
    at = whole.index(b"\xff\xc0") + 5  # ITU-T T.81, B.2.2: no height, which a later DNL segment would tell
    refused = put(client, whole[:at] + b"\0\0" + whole[at + 2 :])

    assert (400, "This photo's file is cut or garbled.") == (refused.status_code, refused.json()["error"]["what"])


def png_claiming(width, height) -> bytes:
    """A whole PNG, one bit a pixel, whose picture data is far too short. W3C PNG, third edition, 5."""
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    pieces = ((b"IHDR", head), (b"IDAT", zlib.compress(bytes(5_000_000))), (b"IEND", b""))
    chunks = (struct.pack(">I", len(c)) + name + c + struct.pack(">I", zlib.crc32(name + c)) for name, c in pieces)
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


@pytest.mark.parametrize("name", ["%2e%2e%2fbenchbell.db", "A" * 64, "a" * 63, "a" * 64 + "%00", "..%2F" + "a" * 61])
def test_no_name_reaches_outside_the_folder(client, name):
    for answer in (client.get(f"/photos/{name}"), client.put(f"/photos/{name}", content=picture("PNG"))):
        assert answer.status_code in (400, 404, 405)


def test_a_picture_that_has_not_arrived_says_where_it_is(client):
    answer = client.get(f"/photos/{'0' * 64}")

    assert (404, "Look at it on the phone that took it.") == (answer.status_code, answer.json()["error"]["next_step"])


def test_the_first_bytes_alone_tell_a_type():
    # JPEG: ITU-T T.81 B.1.1.3; PNG: ISO/IEC 15948 5.2; WebP: RFC 9649 2.4.
    assert ["image/jpeg", "image/png", "image/webp", None] == [
        type_of(start) for start in (
            b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"RIFF\x10\0\0\0WEBP", b"XXXX\x10\0\0\0WEBP")
    ]  # fmt: skip


def spoil(client, body):
    """Overwrite one byte of a kept photo on the disk."""
    file = client.settings.data / "photos" / name_of(body)[:2] / name_of(body)
    file.write_bytes(body[:-3] + b"!" + body[-2:])


def test_a_photo_that_rotted_is_not_served_and_phones_are_asked_for_it(client):
    body = picture("PNG")
    put(client, body)
    spoil(client, body)
    refused = client.get(f"/photos/{name_of(body)}")

    assert (503, "damaged") == (refused.status_code, refused.json()["error"]["kind"])
    assert "This photo is damaged on the server's disk." == refused.json()["error"]["what"]
    assert [name_of(body)] == send(client, PHONE).json()["damaged_photos"]


def test_every_photo_is_checked_and_all_are_listed_once_a_pass(client, monkeypatch):
    bodies = [picture("PNG", side) for side in range(8, 13)]
    listings, photo_files = [], photos.photo_files
    for body in bodies:
        put(client, body)
        spoil(client, body)
    monkeypatch.setattr(photos, "photo_files", lambda folder: listings.append(1) or photo_files(folder))
    client.blocking_portal.call(client.shop.scrubber.make_pass, 0)

    assert sorted(map(name_of, bodies)) == sorted(send(client, PHONE).json()["damaged_photos"])
    assert 5 == client.shop.scrubber.found.photos
    assert [1] == listings


def test_a_photo_that_rotted_is_healed_when_a_phone_sends_it_again(client):
    body = picture("PNG")
    put(client, body)
    spoil(client, body)
    client.blocking_portal.call(client.shop.scrubber.make_pass, 0)
    asked = send(client, PHONE).json()["damaged_photos"]
    put(client, body)

    assert [name_of(body)] == asked
    assert body == client.get(f"/photos/{name_of(body)}").content
    assert [] == send(client, PHONE).json()["damaged_photos"]
    assert 0 == client.get("/records").json()["damaged_photos"]


def test_a_photo_of_the_log_that_is_not_here_is_asked_for_until_it_comes(client):
    body = picture("JPEG")
    entry = {"kind": "photo", "sha256": name_of(body), "type": "image/jpeg", "bytes": len(body)}
    assert 200 == send(client, PHONE, [entry_body(1, **entry)]).status_code
    before = send(client, PHONE).json()["damaged_photos"]
    client.blocking_portal.call(client.shop.scrubber.make_pass, 0)
    asked, shown = send(client, PHONE).json()["damaged_photos"], client.get("/records").json()
    put(client, body)

    assert ([], [name_of(body)], []) == (before, asked, send(client, PHONE).json()["damaged_photos"])
    assert 0 == shown["damaged_photos"]
