"""`holdback serve`: the pages, on this computer only or in the home network."""

from __future__ import annotations

import argparse
import os
import socket
import sys
from typing import TYPE_CHECKING

from holdback.cli.output import print_json
from holdback.cli.sources import start_django
from holdback.errors import Fault, HoldbackError

if TYPE_CHECKING:
    from holdback.web.serving.way import Way

HOST = "127.0.0.1"


def run(arguments: argparse.Namespace) -> int:
    """Serve until stopped."""
    way = way_of(arguments)
    start_django()
    serve(arguments.port, way, as_json=arguments.json)
    return 0


def way_of(arguments: argparse.Namespace) -> Way:
    """The way that was asked for; tells the settings of it, so Django must not be set up before.

    Raises
    ------
    HoldbackError
        CLI-010 to CLI-013.
    """
    from holdback.web.serving.way import way

    found = way(
        home=arguments.home,
        certificate=arguments.certificate,
        key=arguments.key,
        own_certificate=arguments.own_certificate,
    )
    found.tell(os.environ)
    return found


def serve(port: int, way: Way, *, as_json: bool = False) -> None:
    """Print one-time addresses and serve until interrupted.

    Raises
    ------
    HoldbackError
        If the port is taken.
    """
    from django.conf import settings

    from holdback.web.access.tokens import new_token
    from holdback.web.jobs.worker import start_worker_thread
    from holdback.web.serving.servers import server_of

    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)
    from holdback.web.wsgi import application

    _refuse_if_taken(port)
    server = server_of(application, way, port)
    names = [HOST, *way.home]
    addresses = [f"{way.scheme}://{name}:{port}/open/{new_token()}/" for name in names]
    if as_json:
        told: dict[str, object] = {"address": addresses[0]}
        if way.home:
            told["home"] = addresses[1:]
        if way.authority:
            told |= {"authority": str(way.authority), "fingerprint": way.fingerprint}
        print_json(told)
    else:
        _tell(addresses, way)
    sys.stdout.flush()
    try:
        start_worker_thread()
        server.run()
    except KeyboardInterrupt:
        server.close()


def _tell(addresses: list[str], way: Way) -> None:
    """Print the addresses, and the first one of the home network as a code for a phone."""
    print(f"Holdback is at {addresses[0]}")
    if way.home:
        for address in addresses[1:]:
            print(f"From a phone in the home network: {address}")
        _print_code(addresses[1])
        print("Each address opens one browser, once, within a quarter of an hour. Stop with Ctrl-C.")
        print("Whoever is in the same network can knock; only who has an address gets in.")
        if way.scheme == "http":
            print("By HTTP others in the network could listen; --own-certificate serves by HTTPS.")
    else:
        print("The address opens one browser, once. Only this computer can reach it. Stop with Ctrl-C.")
    if way.authority:
        print(f"The phone has to trust {way.authority} once (docs: Use a phone). Its SHA-256 is")
        print(way.fingerprint)


def _print_code(address: str) -> None:
    """An address as a code of half blocks, where the terminal knows these."""
    import segno

    try:
        "▀▄█".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return
    segno.make(address, error="l", micro=False).terminal(out=sys.stdout, border=2, compact=True)


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
