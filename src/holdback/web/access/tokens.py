"""One-time tokens: made by a command, spent by the first browser that brings one.

A token is a file in the data folder, named by the hash of the token and holding the second it ends. Whoever unlinks
the file has spent it, so two requests at once cannot both succeed. The token itself is stored nowhere.
"""

from __future__ import annotations

import hashlib
import secrets
import time
from pathlib import Path

from django.conf import settings

VALID_FOR_S = 15 * 60
"""Seconds a token lasts if nobody brings it."""


def new_token(*, valid_for_s: int = VALID_FOR_S) -> str:
    """Fresh token for one opening.

    Parameters
    ----------
    valid_for_s : int
        Seconds it lasts.

    Returns
    -------
    str
        43 letters and figures that stand unchanged in an address.
    """
    folder = _folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    _drop_ended(folder)
    token = secrets.token_urlsafe(32)
    path = folder / _name(token)
    path.touch(mode=0o600)
    path.write_text(str(int(time.time()) + valid_for_s), "ascii")
    return token


def spend(token: str) -> bool:
    """Whether the token was good; it is not good a second time.

    Parameters
    ----------
    token : str
        As brought by the browser.
    """
    path = _folder() / _name(token)
    try:
        ends = int(path.read_text("ascii"))
        path.unlink()
    except (FileNotFoundError, ValueError):
        return False
    return time.time() < ends


def _folder() -> Path:
    return Path(settings.HOLDBACK_DATA) / "openings"


def _name(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _drop_ended(folder: Path) -> None:
    """Remove tokens that nobody brought in time."""
    for path in folder.iterdir():
        if path.stat().st_mtime < time.time() - 24 * 3600:
            path.unlink(missing_ok=True)
