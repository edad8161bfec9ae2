"""The one-time address."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from holdback.web.access.sessions import mark_open
from holdback.web.access.tokens import spend


@require_safe
@never_cache
def open_by_token(request: HttpRequest, token: str) -> HttpResponse:
    """Open this browser's session and go to the first page."""
    if request.method == "HEAD":  # a program that only looks must not spend it
        return HttpResponse()
    if not spend(token):
        return render(request, "access/refused.html", {"reason": "spent"}, status=403)
    mark_open(request.session, device=request.headers.get("user-agent", ""))
    return redirect("/")
