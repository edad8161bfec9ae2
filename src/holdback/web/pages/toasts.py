"""Words that follow a deed on the next page, with a way back."""

from __future__ import annotations

from typing import TypedDict

from django.http import HttpRequest

_KEY = "toasts"


class Toast(TypedDict):
    """What was done, and the address that takes it back (empty where nothing can)."""

    text: str
    undo: str


def add_toast(request: HttpRequest, text: str, *, undo: str = "") -> None:
    """Keep a sentence for the next page.

    Parameters
    ----------
    request : HttpRequest
        Request with a session.
    text : str
        What was done, in a sentence.
    undo : str
        Address that takes the deed back by POST; empty where nothing can.
    """
    waiting = request.session.get(_KEY, [])
    request.session[_KEY] = [*waiting, Toast(text=text, undo=undo)]


def take_toasts(request: HttpRequest) -> list[Toast]:
    """Sentences that wait; each is given once."""
    if not hasattr(request, "session"):
        return []
    found: list[Toast] = request.session.get(_KEY, [])
    if found:
        del request.session[_KEY]
    return found
