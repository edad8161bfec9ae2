"""An authority of one's own and a certificate for this computer, for HTTPS in the home network.

The authority can vouch for private addresses and names that end in ``.local`` only (RFC 5280, section 4.2.1.10), so a
phone that trusts it trusts it for nothing on the internet.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_DAYS = 3650
DAYS = 397
"""Days that a certificate is good for: browsers refuse longer ones (CA/Browser Forum, Baseline Requirements, 6.3.2)."""
RENEW_DAYS = 30
_NETWORKS = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.0/8", "::1/128", "fc00::/7")
_NAMES = ("localhost", "local")


@dataclass(frozen=True, slots=True)
class Pair:
    """A certificate with its key, and who vouches for it.

    Parameters
    ----------
    certificate, key, authority : Path
        Files in PEM.
    until : date
        Last day it is good for.
    fingerprint : str
        SHA-256 of the authority's certificate, in pairs of hexadecimal figures.
    """

    certificate: Path
    key: Path
    authority: Path
    until: dt.date
    fingerprint: str


@dataclass(frozen=True, slots=True)
class _Issued:
    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def own_certificate(folder: Path, names: Sequence[str], *, now: dt.datetime) -> Pair:
    """Certificate of this computer, made or renewed where it is near its end or the names are others.

    Parameters
    ----------
    folder : Path
        Where the files lie; made where it is missing, readable by its owner only.
    names : sequence of str
        Private addresses and names under which the computer is reached.
    now : datetime
        Time with its zone.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    authority = _read(folder, "authority")
    if authority is None or _days_left(authority.certificate, now) < DAYS:
        authority = _new_authority(now)
        _write(folder, "authority", authority)
    here = _read(folder, "here")
    if here is None or not _is_good(here.certificate, authority.certificate, names, now):
        here = _new_certificate(authority, names, now)
        _write(folder, "here", here)
    return Pair(
        folder / "here.crt",
        folder / "here.key",
        folder / "authority.crt",
        here.certificate.not_valid_after_utc.date(),
        fingerprint(authority.certificate),
    )


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256 of a certificate as a phone shows it."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def _days_left(certificate: x509.Certificate, now: dt.datetime) -> int:
    return (certificate.not_valid_after_utc - now).days


def _is_good(
    certificate: x509.Certificate, authority: x509.Certificate, names: Sequence[str], now: dt.datetime
) -> bool:
    """Whether a certificate has the names, time left, and the word of the authority."""
    if _days_left(certificate, now) < RENEW_DAYS or certificate.not_valid_before_utc > now:
        return False
    try:
        certificate.verify_directly_issued_by(authority)
    except Exception:  # noqa: BLE001 - whatever is wrong with it, another is made
        return False
    found = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return set(found) == set(_general_names(names))


def _general_names(names: Sequence[str]) -> list[x509.GeneralName]:
    found: list[x509.GeneralName] = []
    for name in dict.fromkeys(names):
        try:
            found.append(x509.IPAddress(ipaddress.ip_address(name)))
        except ValueError:
            found.append(x509.DNSName(name))
    return found


def _name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _builder(
    subject: x509.Name, key: ec.EllipticCurvePrivateKey, now: dt.datetime, days: int
) -> x509.CertificateBuilder:
    """What both kinds share; good from an hour ago, since clocks of phones differ."""
    start = now - dt.timedelta(hours=1)
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(start)
        .not_valid_after(start + dt.timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _usage(*, is_authority: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not is_authority,
        key_cert_sign=is_authority,
        crl_sign=is_authority,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _new_authority(now: dt.datetime) -> _Issued:
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name(f"Holdback of this barn, {now:%Y-%m-%d}")
    allowed: list[x509.GeneralName] = [x509.IPAddress(ipaddress.ip_network(one)) for one in _NETWORKS]
    allowed += [x509.DNSName(one) for one in _NAMES]
    certificate = (
        _builder(name, key, now, AUTHORITY_DAYS)
        .issuer_name(name)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(is_authority=True), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=allowed, excluded_subtrees=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    return _Issued(certificate, key)


def _new_certificate(authority: _Issued, names: Sequence[str], now: dt.datetime) -> _Issued:
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = authority.key.public_key()
    certificate = (
        _builder(_name("Holdback"), key, now, DAYS)
        .issuer_name(authority.certificate.subject)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(is_authority=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer), critical=False)
        .add_extension(x509.SubjectAlternativeName(_general_names(names)), critical=False)
        .sign(authority.key, hashes.SHA256())
    )
    return _Issued(certificate, key)


def _read(folder: Path, name: str) -> _Issued | None:
    """Certificate and key of a name; None where they are missing, broken or of no pair."""
    try:
        certificate = x509.load_pem_x509_certificate((folder / f"{name}.crt").read_bytes())
        key = serialization.load_pem_private_key((folder / f"{name}.key").read_bytes(), password=None)
    except (OSError, ValueError, TypeError):
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        return None
    return _Issued(certificate, key)


def _write(folder: Path, name: str, made: _Issued) -> None:
    """Write a key, readable by its owner only, and its certificate, each in one step."""
    pem = serialization.Encoding.PEM
    secret = made.key.private_bytes(pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    for file, content in ((f"{name}.key", secret), (f"{name}.crt", made.certificate.public_bytes(pem))):
        beside = folder / f".{file}.new"
        beside.unlink(missing_ok=True)
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            out.write(content)
        beside.replace(folder / file)
