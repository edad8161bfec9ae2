"""Own certificates: held against OpenSSL (through Python's ssl), renewed, and for the home alone."""

from __future__ import annotations

import datetime as dt
import ipaddress
import ssl
import stat
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from holdback.web.serving import certificates
from holdback.web.serving.certificates import Pair, own_certificate

NOW = dt.datetime.now(dt.UTC)
NAMES = ("localhost", "127.0.0.1", "::1", "192.168.1.20", "barn.local")


def certificate(file: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(file.read_bytes())


def handshake(pair: Pair, name: str) -> None:
    """A handshake in memory: OpenSSL checks the chain, the limits of names and the name; raises where it refuses."""
    client = ssl.create_default_context(cafile=str(pair.authority))
    client.verify_flags |= ssl.VERIFY_X509_STRICT
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(pair.certificate, pair.key)
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    here = client.wrap_bio(to_client, to_server, server_hostname=name)
    there = server.wrap_bio(to_server, to_client, server_side=True)
    done = set()
    for _ in range(10):
        for side in (here, there):
            try:
                side.do_handshake()
                done.add(side)
            except ssl.SSLWantReadError:
                pass
        if len(done) == 2:
            return
    raise AssertionError("no handshake came about")


@pytest.mark.parametrize("name", NAMES)
def test_own_certificate__is_taken_by_openssl_for_each_name(tmp_path: Path, name: str) -> None:
    handshake(own_certificate(tmp_path, NAMES, now=NOW), name)


def test_own_certificate__is_good_for_397_days_at_most_and_for_a_server_alone(tmp_path: Path) -> None:
    pair = own_certificate(tmp_path, NAMES, now=NOW)
    made = certificate(pair.certificate)
    assert made.not_valid_after_utc - made.not_valid_before_utc <= dt.timedelta(days=397)
    usage = made.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert not made.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert pair.until == made.not_valid_after_utc.date()
    assert pair.fingerprint.count(":") == 31


def test_own_certificate__stays_until_it_is_near_its_end_or_the_names_change(tmp_path: Path) -> None:
    first = own_certificate(tmp_path, NAMES, now=NOW).certificate.read_bytes()
    later = own_certificate(tmp_path, NAMES, now=NOW + dt.timedelta(days=360))
    assert later.certificate.read_bytes() == first
    authority = later.authority.read_bytes()
    renewed = own_certificate(tmp_path, NAMES, now=NOW + dt.timedelta(days=370))
    assert renewed.certificate.read_bytes() != first
    assert renewed.authority.read_bytes() == authority, "phones that trust it go on"
    moved = own_certificate(tmp_path, (*NAMES, "10.0.0.7"), now=NOW)
    handshake(moved, "10.0.0.7")
    assert moved.authority.read_bytes() == authority


@pytest.mark.parametrize("file", ["authority.key", "authority.crt", "here.key", "here.crt"])
def test_own_certificate__is_made_anew_where_a_file_is_broken(tmp_path: Path, file: str) -> None:
    own_certificate(tmp_path, NAMES, now=NOW)
    (tmp_path / file).write_text("broken")
    handshake(own_certificate(tmp_path, NAMES, now=NOW), "localhost")


def test_own_certificate__keys_are_for_their_owner_only(tmp_path: Path) -> None:
    pair = own_certificate(tmp_path / "certificates", NAMES, now=NOW)
    assert stat.S_IMODE(pair.key.stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "certificates/authority.key").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "certificates").stat().st_mode) == 0o700


@pytest.mark.parametrize("name", ["bank.example", "8.8.8.8"])
def test_authority__vouches_for_nothing_on_the_internet(tmp_path: Path, name: str) -> None:
    """Whoever stole its key could sign such a certificate; OpenSSL and the verifier of cryptography refuse it."""
    pair = own_certificate(tmp_path, NAMES, now=NOW)
    authority = certificates._read(tmp_path, "authority")
    assert authority is not None
    stolen = certificates._new_certificate(authority, [name], NOW)
    certificates._write(tmp_path, "here", stolen)
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        handshake(pair, name)
    try:
        subject: x509.IPAddress | x509.DNSName = x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        subject = x509.DNSName(name)
    verifier = PolicyBuilder().store(Store([authority.certificate])).time(NOW).build_server_verifier(subject)
    with pytest.raises(VerificationError):
        verifier.verify(stolen.certificate, [])
    assert isinstance(authority.key, ec.EllipticCurvePrivateKey)
