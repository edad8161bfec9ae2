"""The door and the rules: who gets in, and what every page forbids the browser.

Both stand in ``MIDDLEWARE`` right after the session: first `answer_with_policy`, then `refuse_strangers`.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.shortcuts import render

from holdback.web.access.sessions import is_open
from holdback.web.serving.home import is_home

Respond = Callable[[HttpRequest], HttpResponseBase]

POLICY = "; ".join(
    (
        "default-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
"""Content security policy: everything from this site, no inline script or style, no frame."""

_HEADERS = {
    "Content-Security-Policy": POLICY,
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
UNGUARDED = ("/open/", "/calendar/feed/")
"""Beginnings of addresses that carry a secret of their own, which their views look at."""
_LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})


def answer_with_policy(get_response: Respond) -> Respond:
    """Set the policy headers on every answer that does not bring its own."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        for name, value in _HEADERS.items():
            response.headers.setdefault(name, value)
        return response

    return middleware


def refuse_strangers(get_response: Respond) -> Respond:
    """Answer only this computer, or the home network where that was asked for, and only an opened browser."""

    def middleware(request: HttpRequest) -> HttpResponseBase:
        request.get_host()  # a name that the site does not answer to is refused here, by Django
        if not _is_near(request):
            return _refused(request, "far")
        if request.path_info.startswith(UNGUARDED) or is_open(request.session):
            response = get_response(request)
            # Pages hold the records: a shared computer's cache must not.
            response.headers.setdefault("Cache-Control", "no-store")
            return response
        return _refused(request, "closed")

    return middleware


def _is_near(request: HttpRequest) -> bool:
    """Whether the peer is this computer or in the home network that is served, or the settings name other hosts."""
    if settings.HOLDBACK_HOME:
        return is_home(request.META.get("REMOTE_ADDR", ""))
    if not set(settings.ALLOWED_HOSTS) <= _LOOPBACK_NAMES:
        return True
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


def _refused(request: HttpRequest, reason: str) -> HttpResponseBase:
    """Refusal in the form that was asked for."""
    if request.path_info.startswith("/api/"):
        return JsonResponse({"detail": "Not open: start with the address that `holdback serve` prints."}, status=403)
    return render(request, "access/refused.html", {"reason": reason}, status=403)
