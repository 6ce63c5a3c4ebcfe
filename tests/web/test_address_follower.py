"""The machine gets another address while the server runs: certificate, welcome page and announcement follow."""

import asyncio
from types import SimpleNamespace

import pytest
from benchbell.web import address_follower
from benchbell.web.address_follower import AddressFollower, own_certificate
from benchbell.web.network import Place
from benchbell.web.welcome import AUTHORITY
from structlog.testing import capture_logs
from web.machine import ADDRESSES, NAMES

AT_HOME = Place("bench.local", NAMES, ADDRESSES)
MOVED = Place("bench.local", NAMES, ("192.0.2.99", "127.0.0.1"))
LINK = b"https://192.0.2.99:8443"


class Network:
    """Takes every announcement."""

    port = 8443

    def __init__(self):
        self.announced = []

    async def announce(self, place):
        self.announced.append(place)
        return ""


@pytest.fixture
def follower(tmp_path, monkeypatch):
    """A server that began at home, on a machine that has moved since; `loaded`: what its https server was given."""
    own_certificate(tmp_path, AT_HOME)
    monkeypatch.setattr(address_follower, "place_now", lambda: MOVED)
    loaded = []
    secured = SimpleNamespace(load_cert_chain=lambda *files: loaded.append(files))
    made = AddressFollower(tmp_path, AT_HOME, Network(), secured, {})
    made.loaded = loaded
    return made


def checked(follower, times=1):
    """What the log warns of in so many checks."""
    with capture_logs() as logged:
        for _ in range(times):
            asyncio.run(follower.check())
    return [line for line in logged if line["log_level"] == "warning"]


def test_a_changed_address_is_taken_over_once(follower, tmp_path):
    folder = tmp_path / "certificate"

    assert [] == checked(follower, 2)
    assert [(folder / "server.pem", folder / "server.key")] == follower.loaded
    assert [MOVED] == follower.announcer.announced
    assert LINK in follower.files["/"].body
    assert (folder / "authority.pem").read_bytes() == follower.files[AUTHORITY].body


def test_certificates_that_cannot_be_used_are_told_once_with_what_to_do_and_tried_again(follower, tmp_path):
    key = tmp_path / "certificate" / "authority.key"
    kept = key.read_bytes()
    key.write_bytes(b"no key")
    (line,) = checked(follower, 3)
    meanwhile = dict(follower.files)
    key.write_bytes(kept)
    after = checked(follower)

    assert f"The certificates in {key.parent} cannot be used" in line["why"]
    assert "Restore that folder from a backup" in line["next_step"]
    assert {} == meanwhile
    assert [] == after
    assert LINK in follower.files["/"].body


def test_a_network_that_cannot_be_read_ends_nothing(follower, monkeypatch):
    def unreadable():
        raise OSError(24, "Too many open files")

    with monkeypatch.context() as broken:
        broken.setattr(address_follower, "place_now", unreadable)
        (line,) = checked(follower, 2)

    assert "Too many open files" in line["why"]
    assert "checked again" in line["next_step"]
    assert [] == checked(follower)
    assert [MOVED] == follower.announcer.announced
