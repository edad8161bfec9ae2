"""Servers: waitress for HTTP, cheroot for HTTPS."""

from __future__ import annotations

import ssl
from collections.abc import Callable
from typing import Any, Protocol

from holdback.web.serving.way import Way

THREADS = 6


class Server(Protocol):
    """What a command needs of a server."""

    def run(self) -> None:
        """Serve until interrupted."""

    def close(self) -> None:
        """Stop listening."""


def server_of(application: Callable[..., Any], way: Way, port: int) -> Server:
    """Server that listens on a port from now on.

    Parameters
    ----------
    application : callable
        The site.
    way : Way
        How it is served.
    port : int
        The port.
    """
    if way.certificate is None:
        from waitress.server import create_server

        plain: Server = create_server(application, host=way.host, port=port, threads=THREADS, ident="")
        return plain
    return _Secure(application, way, port)


class _Secure:
    """The site by HTTPS, TLS 1.2 or later."""

    def __init__(self, application: Callable[..., Any], way: Way, port: int) -> None:
        from cheroot.ssl.builtin import BuiltinSSLAdapter
        from cheroot.wsgi import Server as Cheroot

        adapter = BuiltinSSLAdapter(str(way.certificate), str(way.key))
        adapter.context.minimum_version = ssl.TLSVersion.TLSv1_2
        self._server = Cheroot((way.host, port), application, numthreads=THREADS)
        self._server.ssl_adapter = adapter
        self._server.prepare()

    def run(self) -> None:
        """Serve until interrupted."""
        self._server.serve()

    def close(self) -> None:
        """Stop listening."""
        self._server.stop()
