"""The workshop's authority and certificate: what a browser checks, by the reference libraries."""

import asyncio
import datetime
import ipaddress
import ssl

import pytest
from benchbell.findings import Refused
from benchbell.web.certificate import LEAF_DAYS, RENEW_DAYS, certify
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, load_pem_private_key
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError
from web.machine import ADDRESSES, NAMES, NOW


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
    first, later, last = made(tmp_path), made(tmp_path, days=3000), made(tmp_path, days=3400)

    assert first.fingerprint == later.fingerprint != last.fingerprint
    assert chain_for(last, "bench.local", NOW + datetime.timedelta(days=3400))


def test_a_machine_with_a_new_name_says_what_it_is_not_good_for(tmp_path):
    made(tmp_path)
    renamed = made(tmp_path, ("saw.local", "localhost"))

    assert ("saw.local",) == renamed.left_out
    assert chain_for(renamed, "192.0.2.7")


def test_files_that_are_no_certificates_say_what_to_do(tmp_path):
    made(tmp_path)
    (tmp_path / "authority.pem").write_text("not a certificate")

    with pytest.raises(Refused, match=r"cannot be used.*Move that folder away"):
        made(tmp_path)
