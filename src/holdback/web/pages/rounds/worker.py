"""The service worker: the page of rounds and the files it needs, kept in the browser for when there is no network."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_safe

SCRIPTS = ("rounds.js", "rounds_photo.js", "rounds_queue.js", "rounds_send.js", "rounds_state.js", "rounds_weight.js")
_SHELL = (
    *(f"holdback/{name}" for name in ("tokens.css", "base.css", "pages.css", "rounds.css", "page.js")),
    *(f"holdback/{name}" for name in (*SCRIPTS, "mark.svg", "wave.svg")),
    "django_htmx/htmx-2.min.js",
)
"""Static files without which the page of a round does not stand."""


@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The worker's script, with the files it keeps and a version that changes with them."""
    version, script = _script()
    told = {"version": version, "files": [static(name) for name in _SHELL], "rounds": reverse("pages:rounds")}
    response = HttpResponse(f"const KEPT = {json.dumps(told)};\n{script}", content_type="text/javascript")
    response["Service-Worker-Allowed"] = "/"
    response["Cache-Control"] = "no-cache"
    return response


def named(response: HttpResponse) -> HttpResponse:
    """The page with the version of the files that it was made for, by which the worker knows its own to be old."""
    response["Rounds-Files"] = _script()[0]
    return response


def _script() -> tuple[str, str]:
    """Version of all files together, and the script."""
    return _read() if not settings.DEBUG else _read.__wrapped__()


@lru_cache(maxsize=1)
def _read() -> tuple[str, str]:
    digest = hashlib.sha256()
    for name in (*_SHELL, "holdback/worker.js"):
        digest.update(_path(name).read_bytes())
    return digest.hexdigest()[:16], _path("holdback/worker.js").read_text(encoding="utf-8")


def _path(name: str) -> Path:
    found = finders.find(name)
    assert isinstance(found, str), f"{name} is part of the package"
    return Path(found)
