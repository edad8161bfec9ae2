"""Whether a request asks for a part of a page."""

from __future__ import annotations

from django.http import HttpRequest


def wants_fragment(request: HttpRequest) -> bool:
    """Whether htmx asks for a part; going back in the browser's history asks for the whole page."""
    details = getattr(request, "htmx", None)
    return details is not None and bool(details) and not details.history_restore_request
