"""Which way the pages are served, as asked by a command; what that needs of the settings."""

from __future__ import annotations

import datetime as dt
import importlib.util
import os
import ssl
from collections.abc import MutableMapping
from dataclasses import dataclass
from pathlib import Path

from holdback.errors import Fault, HoldbackError
from holdback.web.data_folder import data_folder
from holdback.web.serving.home import LOOPBACK, LOOPBACK_NAMES, home_addresses, local_name

FOLDER = "certificates"
"""Folder of own certificates in the data folder."""
_INSTALL = "pip install 'holdback[phone]'"


@dataclass(frozen=True, slots=True)
class Way:
    """How the pages are served.

    Parameters
    ----------
    home : tuple of str
        Addresses in the home network; empty where this computer alone is served.
    name : str
        Name in the home network; may be empty.
    certificate, key : Path or None
        Files for HTTPS; None for HTTP.
    authority : Path or None
        Certificate of the own authority, where there is one.
    fingerprint : str
        SHA-256 of that; empty where there is none.
    """

    home: tuple[str, ...] = ()
    name: str = ""
    certificate: Path | None = None
    key: Path | None = None
    authority: Path | None = None
    fingerprint: str = ""

    @property
    def scheme(self) -> str:
        """First part of the addresses."""
        return "https" if self.certificate else "http"

    @property
    def host(self) -> str:
        """Address to listen on."""
        return "0.0.0.0" if self.home else LOOPBACK

    def tell(self, environment: MutableMapping[str, str]) -> None:
        """Put into the environment what the settings are to know."""
        if self.home:
            said = [name.strip() for name in environment.get("HOLDBACK_HOSTS", "").split(",") if name.strip()]
            names = [*LOOPBACK_NAMES, *self.home, *([self.name] if self.name else []), *said]
            environment["HOLDBACK_HOSTS"] = ",".join(dict.fromkeys(names))
            environment["HOLDBACK_HOME"] = "1"
        if self.certificate:
            environment["HOLDBACK_HTTPS"] = "1"


def way(*, home: bool = False, certificate: str = "", key: str = "", own_certificate: bool = False) -> Way:
    """The way that was asked for, with all that it needs.

    Parameters
    ----------
    home : bool
        Whether the home network is served.
    certificate, key : str
        Files in PEM for HTTPS; both or none.
    own_certificate : bool
        Whether a certificate is made by an authority of one's own.

    Raises
    ------
    HoldbackError
        CLI-010 to CLI-013.
    """
    addresses, name = tuple(home_addresses()) if home else (), local_name() if home else ""
    if home and not addresses:
        what = "This computer has no address in a home network."
        raise HoldbackError(Fault("CLI-010", what, "Connect it to the network of the phone, then start again."))
    if own_certificate and (certificate or key):
        what = "--own-certificate stands beside --certificate or --key."
        raise HoldbackError(Fault("CLI-011", what, "Give a certificate with its key, or have one made."))
    if bool(certificate) != bool(key):
        what = f"--{'key' if certificate else 'certificate'} is missing."
        raise HoldbackError(Fault("CLI-011", what, "Give both files, the certificate and its key."))
    if not (own_certificate or certificate):
        return Way(addresses, name)
    _refuse_if_missing("cheroot", *(["cryptography"] if own_certificate else []))
    if own_certificate:
        from holdback.web.serving.certificates import own_certificate as made

        names = ["localhost", LOOPBACK, "::1", *addresses, *([name] if name else [])]
        pair = made(data_folder() / FOLDER, names, now=dt.datetime.now(dt.UTC))
        return Way(addresses, name, pair.certificate, pair.key, pair.authority, pair.fingerprint)
    _refuse_unusable(certificate, key)
    return Way(addresses, name, Path(certificate), Path(key))


def _refuse_if_missing(*packages: str) -> None:
    """CLI-013 where a package of the extra is not installed."""
    if missing := [name for name in packages if importlib.util.find_spec(name) is None]:
        what = f"HTTPS needs {' and '.join(missing)}, not installed here."
        raise HoldbackError(Fault("CLI-013", what, _INSTALL, value=", ".join(missing)))


def _refuse_unusable(certificate: str, key: str) -> None:
    """CLI-012 where certificate and key cannot be used together."""
    try:
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(certificate, key, password=lambda: "")
    except FileNotFoundError as fault:
        missing = next(one for one in (certificate, key) if not os.path.exists(one))  # noqa: PTH110 - as typed
        what = f"There is no file {missing!r}."
        raise HoldbackError(Fault("CLI-012", what, "Name the certificate and its key.", value=missing)) from fault
    except (OSError, ValueError) as fault:
        what = f"The certificate {certificate!r} and the key {key!r} cannot be used together."
        hint = "Give PEM files without a password, the key being that of the certificate."
        raise HoldbackError(Fault("CLI-012", what, hint, value=certificate)) from fault
