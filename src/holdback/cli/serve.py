"""`holdback serve`: the pages, on this computer only."""

from __future__ import annotations

import argparse
import socket

from holdback.cli.output import print_json
from holdback.cli.sources import start_django
from holdback.errors import Fault, HoldbackError

HOST = "127.0.0.1"


def run(arguments: argparse.Namespace) -> int:
    """Serve until stopped."""
    start_django()
    serve(arguments.port, as_json=arguments.json)
    return 0


def serve(port: int, *, as_json: bool = False) -> None:
    """Print a one-time address and serve on the loopback address until interrupted.

    Raises
    ------
    HoldbackError
        If the port is taken.
    """
    from django.conf import settings
    from waitress.server import create_server

    from holdback.web.access.tokens import new_token
    from holdback.web.jobs.worker import start_worker_thread

    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)
    from holdback.web.wsgi import application

    _refuse_if_taken(port)
    server = create_server(application, host=HOST, port=port, threads=6, ident="")
    address = f"http://{HOST}:{port}/open/{new_token()}/"
    if as_json:
        print_json({"address": address})
    else:
        print(f"Holdback is at {address}", flush=True)
        print("The address opens one browser, once. Only this computer can reach it. Stop with Ctrl-C.", flush=True)
    start_worker_thread()
    try:
        server.run()
    except KeyboardInterrupt:
        server.close()


def _refuse_if_taken(port: int) -> None:
    """Refuse a port that something else listens on."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if probe.connect_ex((HOST, port)) == 0:
            raise HoldbackError(
                Fault(
                    "CLI-004",
                    f"Port {port} is taken.",
                    "Stop what runs there, or give another with --port.",
                    value=str(port),
                )
            )
