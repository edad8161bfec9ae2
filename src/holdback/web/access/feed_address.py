"""The secret part of the address under which a calendar program, which cannot sign in, fetches the calendar.

It stands in a file of the data folder and not among the records: taking back a deed must never open it again.
"""

from __future__ import annotations

import hmac
import secrets
from pathlib import Path

from django.conf import settings


def feed_secret() -> str:
    """Secret part of the address; empty where there is none."""
    file = _file()
    return file.read_text("ascii").strip() if file.is_file() else ""


def renew_feed() -> str:
    """A new secret part; the address given out before leads nowhere from now on."""
    secret = secrets.token_urlsafe(24)
    file = _file()
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    beside = file.with_suffix(".new")
    beside.touch(mode=0o600)
    beside.write_text(secret, "ascii")
    beside.replace(file)
    return secret


def close_feed() -> None:
    """No calendar program gets in any more."""
    _file().unlink(missing_ok=True)


def opens_feed(secret: str) -> bool:
    """Whether this is the secret part of the address."""
    known = feed_secret()
    return bool(known) and hmac.compare_digest(known.encode(), secret.encode())


def _file() -> Path:
    return Path(settings.HOLDBACK_DATA) / "calendar-address"
