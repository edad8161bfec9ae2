"""The worker as a process of its own."""

from __future__ import annotations

import signal
import threading
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from holdback.web.jobs.worker import run_worker


class Command(BaseCommand):
    """Takes one job after the other until it is told to stop."""

    help = "Do the jobs that wait; stop with Ctrl-C, after the present one."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Options of the command."""
        parser.add_argument("--once", action="store_true", help="end when no job waits")

    def handle(self, *args: Any, **options: Any) -> None:
        """Run the worker."""
        stop = threading.Event()
        for name in (signal.SIGINT, signal.SIGTERM):
            signal.signal(name, lambda *_: stop.set())
        count = run_worker(stop, once=bool(options["once"]))
        self.stdout.write(f"{count} jobs done")
