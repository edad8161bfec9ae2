"""Where a page goes on to after its deed."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def next_page(request: HttpRequest) -> str:
    """Page of this site that the address names as ``next``; empty where it names none."""
    wanted = request.GET.get("next", "")
    return wanted if wanted.startswith("/") and url_has_allowed_host_and_scheme(wanted, allowed_hosts=None) else ""
