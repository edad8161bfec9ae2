"""A one-time address for a phone, who is let in, and the certificate that a phone is to trust."""

from __future__ import annotations

import hashlib
import ssl
from pathlib import Path

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from holdback.web.access.sessions import end, opened
from holdback.web.access.tokens import new_token
from holdback.web.pages.labels.codes import drawn
from holdback.web.pages.toasts import add_toast
from holdback.web.serving.home import home_addresses, local_name
from holdback.web.serving.way import FOLDER


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def phone(request: HttpRequest) -> HttpResponse:
    """How a phone gets in; by POST a one-time address for one."""
    ways = _ways(request) if settings.HOLDBACK_HOME else []
    address = ""
    if request.method == "POST" and ways:
        chosen = request.POST.get("way", "")
        start = chosen if chosen in ways else ways[0]
        address = f"{start}{reverse('access:open', args=[new_token()])}"
    context = {
        "room": "Desk",
        "is_home": settings.HOLDBACK_HOME,
        "is_https": request.is_secure(),
        "ways": ways,
        "address": address,
        "code": drawn(address) if address else "",
        "opened": opened(request.session),
        "fingerprint": _fingerprint(),
    }
    return render(request, "pages/phone.html", context)


def _ways(request: HttpRequest) -> list[str]:
    """Beginnings of the addresses by which a phone reaches these pages."""
    # Of the address asked for, and not of the socket: something may stand between.
    port = request.get_host().rpartition("]")[2].partition(":")[2] or request.get_port()
    names = [*home_addresses(), local_name()]
    # A page opened from the home network shows that a phone finds the computer so.
    host = request.get_host().rpartition(":")[0] or request.get_host()
    names.sort(key=lambda name: name != host)
    return [f"{request.scheme}://{name}:{port}" for name in names if name in settings.ALLOWED_HOSTS]


def _authority() -> Path:
    return Path(settings.HOLDBACK_DATA) / FOLDER / "authority.crt"


def _fingerprint() -> str:
    """SHA-256 of the own authority's certificate; empty where there is none."""
    try:
        content = _authority().read_bytes()
    except OSError:
        return ""
    return hashlib.sha256(ssl.PEM_cert_to_DER_cert(content.decode("ascii"))).digest().hex(":").upper()


@require_safe
def authority(request: HttpRequest) -> HttpResponse:
    """The certificate of the own authority, for a phone to trust; it holds no secret."""
    try:
        content = _authority().read_bytes()
    except OSError as fault:
        raise Http404("there is no own authority") from fault
    answer = HttpResponse(content, content_type="application/x-x509-ca-cert")
    answer["Content-Disposition"] = 'attachment; filename="holdback.crt"'
    return answer


@require_POST
def end_opened(request: HttpRequest) -> HttpResponse:
    """Let one browser in no more, or every other than this one."""
    mark = request.POST.get("mark", "")
    marks = [one.mark for one in opened(request.session) if not one.is_this] if mark == "others" else [mark]
    ended = sum(end(one) for one in marks)
    if any(one.is_this for one in opened(request.session)):
        said = {0: "Nobody was left to be shut out.", 1: "One browser is let in no more."}
        add_toast(request, said.get(ended, f"{ended} browsers are let in no more."))
    return redirect("pages:phone")
