"""Push messages against the RFCs' own examples and a browser's half written from them."""

import json

import pytest
from alerts.browser import Browser, b64, unb64
from alerts.push_service import signed_by
from alerts.sample import BUILD, CLAMPED, GLUE_ON, book
from benchbell.alerts.notice import MOST_BYTES, message_of
from benchbell.alerts.schedule import alarms_of, running_of
from benchbell.alerts.webpush import (
    KEPT_FOR_S,
    authorization,
    encrypt,
    from_b64url,
    headers_of,
    key_from,
    origin,
    outcome,
    point_of,
    topic_of,
    ttl_s,
)
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric import ec
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from scene import NOON

# RFC 8291, section 5 and appendix A.
WATERMELON = {
    "text": b"When I grow up, I want to be a watermelon",
    "as_private": "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw",
    "ua_private": "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94",
    "ua_public": "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4",
    "auth": "BTBZMqHH6r4Tts7J_aSIgg",
    "salt": "DGv6ra1nlYgDCS1FRnbzlw",
    "body": "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK"
    "6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN",
}

# RFC 8292, section 2.4.
EXAMPLE = (
    "vapid t=eyJ0eXAiOiJKV1QiLCJhbGciOiJFUzI1NiJ9.eyJhdWQiOiJodHRwczovL3B1c2guZXhhbXBsZS5uZXQiLCJleHAiOjE0NTM1MjM3Njgs"
    "InN1YiI6Im1haWx0bzpwdXNoQGV4YW1wbGUuY29tIn0.i3CYb7t4xfxCDquptFOepC9GAu_HLGkMlMuCGSK2rpiUfnK9ojFwDXb1JrErtmysazNjjvW"
    "2L9OkSSHzvoD1oA, k=BA1Hxzyi1RUM1b5wjxsn7nGxAszw2u61m164i3MrAIxHF6YK5h4SDYic-dRuU_RCPCfA5aq9ojSwk5Y2EmClBPs"
)
KEY = key_from(b"k" * 40)
RINGS = [
    alarm
    for clock in running_of(BUILD, book((NOON, GLUE_ON), (NOON, CLAMPED)), (), NOON)
    for alarm in alarms_of(clock, None, NOON)
]


def test_the_standards_watermelon_comes_out_to_the_last_bit():
    own = ec.derive_private_key(int.from_bytes(unb64(WATERMELON["as_private"])), ec.SECP256R1())
    ua_public, auth, salt = (unb64(WATERMELON[name]) for name in ("ua_public", "auth", "salt"))

    assert WATERMELON["body"] == b64(encrypt(WATERMELON["text"], ua_public, auth, own, salt))


def test_the_browser_of_these_tests_reads_the_standards_watermelon():
    browser = Browser(unb64(WATERMELON["ua_private"]), unb64(WATERMELON["auth"]))

    assert WATERMELON["ua_public"] == b64(browser.public)
    assert WATERMELON["text"] == browser.read(unb64(WATERMELON["body"]))


@given(st.binary(max_size=MOST_BYTES), st.binary(min_size=40, max_size=40), st.binary(min_size=16, max_size=16))
def test_a_browser_reads_every_message_meant_for_it(text, chance, salt):
    browser = Browser()

    assert text == browser.read(encrypt(text, browser.public, browser.auth, key_from(chance), salt))


def test_the_longest_message_fills_one_record_and_a_longer_one_is_refused():
    browser = Browser()

    assert len(encrypt(b"x" * MOST_BYTES, browser.public, browser.auth, KEY, b"s" * 16)) == 4096
    with pytest.raises(ValueError, match="3994 bytes; 3993 fit"):
        encrypt(b"x" * (MOST_BYTES + 1), browser.public, browser.auth, KEY, b"s" * 16)


def test_the_check_of_signatures_accepts_the_standards_and_no_other():
    expected = {"aud": "https://push.example.net", "exp": 1453523768, "sub": "mailto:push@example.com"}

    assert expected == signed_by(EXAMPLE)
    with pytest.raises(InvalidSignature):
        signed_by(EXAMPLE.replace("i3CYb7t4", "i3CYb7t5"))


def test_the_server_says_who_it_is_for_twelve_hours():
    claims = signed_by(authorization(KEY, "https://push.example.net/push/abc", "mailto:me@example.com", NOON))

    assert claims == {"aud": "https://push.example.net", "exp": NOON // 1000 + 43_200, "sub": "mailto:me@example.com"}
    assert {"aud", "exp"} == set(signed_by(authorization(KEY, "https://push.example.net/x", "", NOON)))


def test_the_same_moment_gives_the_same_signature():
    twice = [authorization(KEY, "https://push.example.net/x", "", NOON) for _ in range(2)]

    assert twice[0] == twice[1]


@pytest.mark.parametrize(
    ("url", "expected"),
    [
        ("https://push.example.net/a/b?c", "https://push.example.net"),
        ("https://Push.Example.net:443/a", "https://push.example.net"),
        ("https://push.example.net:8443/a", "https://push.example.net:8443"),
        ("http://127.0.0.1:8930/push", "http://127.0.0.1:8930"),
        ("https://[2001:DB8::1]:8443/x", "https://[2001:db8::1]:8443"),
    ],
)
def test_an_origin_has_no_path_and_no_usual_port(url, expected):
    assert expected == origin(url)


def test_a_message_tells_the_worker_all_it_shows():
    message = json.loads(message_of(next(alarm for alarm in RINGS if alarm.stage == "off"), NOON + 1, ("a", "b")))

    assert message["title"] == "Clamps may come off"
    assert message["about"] == "Glue the rim, piece A · Tray, for the hall"
    assert (message["sent"], message["ringing"]) == (NOON + 1, ["a", "b"])
    assert f"/b/{BUILD}/o/A%2Fglue" == message["url"]
    assert f"{BUILD}|A/glue|in-clamps|{NOON}" == message["tag"]
    assert (message["due"], message["stage"]) == (NOON + 3_600_000, "off")


def test_a_message_fits_however_long_its_names():
    longest = replace(RINGS[0], name="\U0001f528" * 999, title="\U0001f528" * 999)

    assert len(message_of(longest, NOON, ())) <= MOST_BYTES


def test_a_list_of_ringing_clocks_that_does_not_fit_is_left_out():
    tags = tuple(f"{BUILD}|A/glue-{n}|in-clamps|{NOON}" for n in range(20))

    assert tags == tuple(json.loads(message_of(RINGS[0], NOON, tags))["ringing"])
    assert json.loads(message_of(RINGS[0], NOON, tags * 3))["ringing"] is None


def test_a_topic_is_one_a_clock_and_of_the_form_asked_for():
    # RFC 8030, section 5.4: at most 32 characters of the URL-safe alphabet of RFC 4648.
    topics = {alarm.clock: topic_of(alarm) for alarm in RINGS}

    assert len(topics) == len(set(topics.values()))
    assert all(len(topic) == 32 and from_b64url(topic) for topic in topics.values())


def test_a_ring_is_kept_until_the_next_takes_over_and_the_last_for_a_day():
    assert ttl_s(NOON + 180_000, NOON) == 180
    assert ttl_s(NOON + 20, NOON) == 1
    assert KEPT_FOR_S == ttl_s(None, NOON) == ttl_s(NOON + 10**9, NOON)


def test_headers_are_those_of_the_standard():
    expected = {"TTL": "60", "Urgency": "high", "Topic": "t", "Content-Encoding": "aes128gcm", "Authorization": "a"}

    assert expected.items() <= headers_of("t", 60, "a").items()


@pytest.mark.parametrize(
    ("status", "expected"),
    [
        *((status, "accepted") for status in (201, 202)),
        *((status, "expired") for status in (404, 410)),
        *((status, "later") for status in (429, 500, 503)),
        *((status, "rejected") for status in (400, 403, 413)),
    ],
)
def test_what_a_push_services_answer_means(status, expected):
    # RFC 8030, sections 5, 7.3 and 8.4.
    assert expected == outcome(status)


@given(st.binary(min_size=40, max_size=40))
def test_any_chance_makes_a_key(chance):
    assert len(point_of(key_from(chance))) == 65
