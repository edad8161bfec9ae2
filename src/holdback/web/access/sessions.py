"""What makes a session an open one."""

from __future__ import annotations

from django.contrib.sessions.backends.base import SessionBase

_KEY = "open"


def mark_open(session: SessionBase) -> None:
    """Make the session an open one, under a fresh key so that an older cookie is worth nothing."""
    session.cycle_key()
    session[_KEY] = True


def is_open(session: SessionBase) -> bool:
    """Whether the session was opened by a token."""
    return session.get(_KEY) is True
