"""What makes a session an open one; which are open, and how one is ended."""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import dataclass

from django.contrib.sessions.backends.base import SessionBase
from django.contrib.sessions.models import Session
from django.utils import timezone

_KEY, _DEVICE, _SINCE = "open", "device", "since"
_DEVICES = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android phone or tablet"),
    ("Windows", "Windows computer"),
    ("Macintosh", "Mac"),
    ("CrOS", "Chromebook"),
    ("Linux", "Linux computer"),
)
_BROWSERS = (
    ("Firefox/", "Firefox"),
    ("FxiOS/", "Firefox"),
    ("Edg", "Edge"),
    ("Chrome/", "Chrome"),
    ("CriOS/", "Chrome"),
    ("Safari/", "Safari"),
)


@dataclass(frozen=True, slots=True)
class Opened:
    """A browser that is let in.

    Parameters
    ----------
    mark : str
        What it goes by on a page: a digest of the secret key, from which nobody gets in.
    device : str
        What the browser said it was.
    since : datetime or None
        When it was opened; None for one that was opened before that was kept.
    until : datetime
        When it ends by itself.
    is_this : bool
        Whether it is the one that asks.
    """

    mark: str
    device: str
    since: dt.datetime | None
    until: dt.datetime
    is_this: bool


def mark_open(session: SessionBase, *, device: str = "") -> None:
    """Make the session an open one, under a fresh key so that an older cookie is worth nothing.

    Parameters
    ----------
    session : SessionBase
        The session.
    device : str
        What the browser says it is.
    """
    session.cycle_key()
    session[_KEY] = True
    session[_DEVICE] = device_words(device)
    session[_SINCE] = timezone.now().isoformat()


def is_open(session: SessionBase) -> bool:
    """Whether the session was opened by a token."""
    return session.get(_KEY) is True


def opened(session: SessionBase) -> list[Opened]:
    """Every browser that is let in, the one that asks first, then the last opened."""
    found = []
    for row in Session.objects.filter(expire_date__gt=timezone.now()):
        kept = row.get_decoded()
        if kept.get(_KEY) is True:
            since = dt.datetime.fromisoformat(kept[_SINCE]) if kept.get(_SINCE) else None
            is_this = row.session_key == session.session_key
            device = str(kept.get(_DEVICE) or "a browser")
            found.append(Opened(_mark(row.session_key), device, since, row.expire_date, is_this))
    return sorted(found, key=lambda one: (not one.is_this, -(one.since.timestamp() if one.since else 0)))


def end(mark: str) -> bool:
    """Whether there was a browser of this mark; it is let in no more."""
    for key in Session.objects.values_list("session_key", flat=True):
        if _mark(key) == mark:
            Session.objects.filter(session_key=key).delete()
            return True
    return False


def device_words(agent: str) -> str:
    """What a browser says of itself, in words.

    Examples
    --------
    >>> device_words("Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) Version/18.1 Mobile/15E148 Safari/604.1")
    'iPhone, Safari'
    """
    device = next((words for word, words in _DEVICES if word in agent), "")
    browser = next((words for word, words in _BROWSERS if word in agent), "")
    return ", ".join(filter(None, (device, browser)))


def _mark(key: str) -> str:
    return hashlib.sha256(f"mark of {key}".encode()).hexdigest()[:20]
