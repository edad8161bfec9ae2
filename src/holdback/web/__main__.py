"""``python -m holdback.web migrate`` and every other command of the framework."""

from __future__ import annotations

import os
import sys

from django.core.management import execute_from_command_line


def main() -> None:
    """Run the command that the arguments name."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "holdback.web.settings")
    execute_from_command_line(["holdback.web", *sys.argv[1:]])


if __name__ == "__main__":
    main()
