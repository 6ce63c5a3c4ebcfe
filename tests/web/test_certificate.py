"""The workshop's authority and certificate: what a browser checks, by the reference libraries."""

import asyncio
import datetime
import errno
import ipaddress
import os
import ssl
from pathlib import Path

import pytest
from benchbell.findings import Refused
from benchbell.web import authority
from benchbell.web.authority import RENEW
from benchbell.web.certificate import LEAF_DAYS, certify
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, load_pem_private_key
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError
from web.machine import ADDRESSES, NAMES, NOW

RENEW_DAYS = RENEW.days


def made(folder, names=NAMES, addresses=ADDRESSES, days=0):
    return certify(folder, names, addresses, NOW + datetime.timedelta(days=days))


def pem(file):
    return x509.load_pem_x509_certificate(file.read_bytes())


def chain_for(certified, host, when=NOW):
    """The chain as RFC 5280 and the web's profile of it have it, by the library's own verifier."""
    subject = (
        x509.DNSName(host) if host[0].isalpha() and ":" not in host else x509.IPAddress(ipaddress.ip_address(host))
    )
    verifier = PolicyBuilder().store(Store([pem(certified.authority)])).time(when).build_server_verifier(subject)
    return verifier.verify(pem(certified.certificate), [])


@pytest.mark.parametrize("host", [*NAMES, "192.0.2.7", "127.0.0.1"])
def test_the_certificate_is_good_for_every_name_and_address(tmp_path, host):
    assert 2 == len(chain_for(made(tmp_path), host))


@pytest.mark.parametrize("host", ["elsewhere.example", "192.0.2.8"])
def test_it_is_good_for_no_other(tmp_path, host):
    with pytest.raises(VerificationError):
        chain_for(made(tmp_path), host)


def test_the_authority_has_no_power_over_other_sites(tmp_path):
    certified = made(tmp_path)
    ca, key = pem(certified.authority), ec.generate_private_key(ec.SECP256R1())
    ca_key = load_pem_private_key((tmp_path / "authority.key").read_bytes(), None)
    forged = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([]))
        .issuer_name(ca.subject)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(NOW)
        .not_valid_after(NOW + datetime.timedelta(days=9))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName("bank.example")]), critical=True)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(ca_key.public_key()), critical=False)
        .sign(ca_key, hashes.SHA256())
    )
    certified.certificate.write_bytes(forged.public_bytes(Encoding.PEM))
    with pytest.raises(VerificationError, match=r"name constraint|permitted"):
        chain_for(certified, "bank.example")


def test_a_browsers_handshake_trusts_it_by_name(tmp_path):
    certified = certify(tmp_path, NAMES, ADDRESSES, datetime.datetime.now(datetime.UTC))
    serving, asking = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER), ssl.create_default_context(cafile=certified.authority)
    serving.load_cert_chain(certified.certificate, certified.key)

    async def run(name):
        async with await asyncio.start_server(lambda r, w: w.close(), "127.0.0.1", 0, ssl=serving) as server:
            port = server.sockets[0].getsockname()[1]
            _, writer = await asyncio.open_connection("127.0.0.1", port, ssl=asking, server_hostname=name)
            version = writer.get_extra_info("ssl_object").version()
            writer.close()
            return version

    assert "TLSv1.3" == asyncio.run(run("bench.local"))
    with pytest.raises(ssl.SSLCertVerificationError, match=r"Hostname mismatch"):
        asyncio.run(run("elsewhere.example"))


def test_only_this_user_can_read_the_keys(tmp_path):
    made(tmp_path / "certificate")

    assert {0o600} == {file.stat().st_mode & 0o777 for file in (tmp_path / "certificate").iterdir()}
    assert 0o700 == (tmp_path / "certificate").stat().st_mode & 0o777


def test_it_is_made_once(tmp_path):
    first, again = made(tmp_path), made(tmp_path, days=1)

    assert (True, False) == (first.renewed, again.renewed)
    assert first.fingerprint == again.fingerprint


@pytest.mark.parametrize(
    ("changed", "renewed"),
    [
        ({"days": LEAF_DAYS - RENEW_DAYS - 1}, False),
        ({"days": LEAF_DAYS - RENEW_DAYS + 1}, True),
        ({"addresses": (*ADDRESSES, "192.0.2.9")}, True),
        ({"addresses": ADDRESSES[1:]}, True),
        ({"addresses": ADDRESSES[::-1]}, False),
    ],
)
def test_it_is_renewed_before_it_ends_and_when_addresses_change(tmp_path, changed, renewed):
    first, again = made(tmp_path), made(tmp_path, **changed)

    assert (renewed, first.fingerprint) == (again.renewed, again.fingerprint)
    assert chain_for(again, "bench.local", NOW + datetime.timedelta(days=changed.get("days", 0)))


def test_the_authority_is_made_anew_only_when_its_time_is_nearly_over(tmp_path):
    first, later = made(tmp_path), made(tmp_path, days=3600)

    assert first.fingerprint == later.fingerprint
    assert chain_for(later, "bench.local", NOW + datetime.timedelta(days=3600))

    last = made(tmp_path, days=3640)

    assert later.fingerprint != last.fingerprint
    assert chain_for(last, "bench.local", NOW + datetime.timedelta(days=3640))


@pytest.mark.parametrize("days", [9 * 365, 20 * 365, -20 * 365, -30])
def test_a_clock_that_was_wrong_for_a_while_costs_no_phone_its_trust(tmp_path, days):
    first = made(tmp_path)
    made(tmp_path, days=days)
    again = made(tmp_path)

    assert first.fingerprint == again.fingerprint
    assert chain_for(again, "bench.local")


@pytest.mark.parametrize("days", [9 * 365, 20 * 365, -20 * 365, -365])
def test_what_was_made_while_the_clock_was_wrong_is_put_right(tmp_path, days):
    made(tmp_path, days=days)
    right = made(tmp_path)

    assert chain_for(right, "bench.local")
    assert right.fingerprint == made(tmp_path, days=1).fingerprint


def test_an_authority_of_old_that_is_not_valid_yet_is_kept_and_another_one_used(tmp_path, monkeypatch):
    monkeypatch.setattr(authority, "EARLIEST", NOW + datetime.timedelta(days=100))
    ahead = made(tmp_path, days=100)
    before = ahead.authority.read_bytes()
    monkeypatch.undo()
    now = made(tmp_path)

    assert chain_for(now, "bench.local")
    assert (before, False) == (ahead.authority.read_bytes(), now.authority == ahead.authority)


def test_a_clock_that_is_certainly_behind_replaces_nothing(tmp_path):
    first = made(tmp_path)
    unset = certify(tmp_path, NAMES, ADDRESSES, datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC))

    assert (first.fingerprint, False) == (unset.fingerprint, unset.renewed)


@pytest.mark.parametrize("name", ["server.pem", "server.key"])
@pytest.mark.parametrize(
    "spoil",
    [
        lambda file: file.unlink(),
        lambda file: file.write_bytes(b""),
        lambda file: file.write_bytes(file.read_bytes()[:100]),
        lambda file: file.write_bytes(made(file.parents[1] / "other").key.with_name(file.name).read_bytes()),
    ],
    ids=["missing", "empty", "cut off", "of another"],
)
def test_a_certificate_that_cannot_be_used_is_made_anew_from_the_authority(tmp_path, name, spoil):
    folder = tmp_path / "certificate"
    first = made(folder)
    spoil(folder / name)
    again = made(folder)
    ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(again.certificate, again.key)

    assert (True, first.fingerprint) == (again.renewed, again.fingerprint)
    assert chain_for(again, "bench.local")


def test_a_certificate_by_another_authority_of_the_same_name_is_made_anew(tmp_path):
    first, other = made(tmp_path / "certificate"), made(tmp_path / "other")
    for file in (first.certificate, first.key):
        file.write_bytes((tmp_path / "other" / file.name).read_bytes())
    again = made(tmp_path / "certificate")

    assert pem(first.authority).subject == pem(other.authority).subject
    assert again.renewed
    assert chain_for(again, "bench.local")


def test_a_certificate_that_cannot_be_renewed_is_used_on_and_a_full_disk_is_said(tmp_path, monkeypatch):
    first = made(tmp_path)
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}
    monkeypatch.setattr(authority, "write_whole", no_room)
    on = made(tmp_path, addresses=(*ADDRESSES, "192.0.2.9"))

    assert (False, before) == (on.renewed, {file.name: file.read_bytes() for file in tmp_path.iterdir()})

    first.certificate.unlink()
    with pytest.raises(Refused, match=rf"The disk with {tmp_path} is full. Make room"):
        made(tmp_path)


def no_room(*_):
    raise OSError(errno.ENOSPC, "No space left on device")


def test_each_file_is_on_the_disk_before_it_has_its_name(tmp_path, monkeypatch):
    order, fsync, replace = [], os.fsync, Path.replace
    monkeypatch.setattr(os, "fsync", lambda handle: (order.append("fsync"), fsync(handle))[1])
    monkeypatch.setattr(Path, "replace", lambda file, place: (order.append(place.name), replace(file, place))[1])
    made(tmp_path)

    written = [f"fsync {name} fsync" for name in ("authority.key", "authority.pem", "server.key", "server.pem")]
    assert " ".join(written) == " ".join(order)


def contents(folder):
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.is_file()}


@pytest.mark.parametrize(
    "spoil", [Path.unlink, lambda file: file.write_bytes(b"3"), lambda file: file.write_bytes(b"")]
)
def test_with_the_authoritys_key_lost_the_servers_own_serves_until_it_ends(tmp_path, spoil):
    made(tmp_path)
    spoil(tmp_path / "authority.key")
    before = contents(tmp_path)
    used = made(tmp_path)

    assert (False, before) == (used.renewed, contents(tmp_path))
    assert chain_for(used, NAMES[0])
    with pytest.raises(Refused, match=r"authority.key.*Restore that folder from a"):
        made(tmp_path, days=LEAF_DAYS + 1)
    assert before == contents(tmp_path)


@pytest.mark.parametrize("lost", ["authority.pem", "authority.pem server.pem server.key"])
def test_a_lost_authority_never_costs_its_key(tmp_path, lost):
    made(tmp_path)
    for name in lost.split():
        (tmp_path / name).unlink()
    before = contents(tmp_path)
    if "server.pem" in lost:  # as a first start leaves it that was cut short
        made(tmp_path)
        assert before["authority.key"] == (tmp_path / "authority.key").read_bytes()
    else:
        with pytest.raises(
            Refused, match=r"authority.key is there, authority.pem is missing.*Restore that folder from"
        ):
            made(tmp_path)
        assert before == contents(tmp_path)


def test_a_machine_with_a_new_name_says_what_it_is_not_good_for(tmp_path):
    made(tmp_path)
    renamed = made(tmp_path, ("saw.local", "localhost"))

    assert ("saw.local",) == renamed.left_out
    assert chain_for(renamed, "192.0.2.7")


def test_files_that_are_no_certificates_say_what_to_do(tmp_path):
    made(tmp_path)
    (tmp_path / "authority.pem").write_text("not a certificate")

    with pytest.raises(Refused, match=r"cannot be used.*Or move it away"):
        made(tmp_path)
