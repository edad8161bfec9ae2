"""Settings for the tests: a throw-away SQLite file, or the PostgreSQL server that the environment names."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

_scratch = Path(tempfile.gettempdir()) / f"holdback-test-{os.getpid()}"
os.environ.setdefault("HOLDBACK_SECRET", "for tests only, for tests only, for tests only")
os.environ["HOLDBACK_DATA"] = str(_scratch)
os.environ.pop("HOLDBACK_DATABASE_URL", None)

from holdback.web import settings as _real  # noqa: E402 - the environment comes first
from holdback.web.database import postgres  # noqa: E402
from holdback.web.settings import *  # noqa: E402, F403

_server = os.environ.get("HOLDBACK_TEST_DATABASE_URL") or os.environ.get("HOLDBACK_TEST_POSTGRES")
if _server:
    DATABASES = {
        "default": {
            **postgres(_server),
            "ENGINE": "holdback.web.testing.postgresql",
            "CONN_MAX_AGE": 0,
            "TEST": {"NAME": f"test_holdback_{os.getpid()}"},
        }
    }
else:
    _file = _real.DATABASES["default"]
    _pragmas = _file["OPTIONS"]["init_command"].replace("synchronous=NORMAL", "synchronous=OFF")
    DATABASES = {
        "default": {
            **_file,
            "ENGINE": "holdback.web.testing.sqlite3",
            "OPTIONS": {**_file["OPTIONS"], "init_command": _pragmas},
            # A file and not memory: threads and a live server then meet the same locks as in use.
            "TEST": {"NAME": _scratch.with_suffix(".sqlite3")},
        }
    }
STORAGES = {
    **_real.STORAGES,
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
ALLOWED_HOSTS = ["*"]
STATIC_ROOT = _scratch / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # whitenoise warns of a missing folder, and warnings are errors here
