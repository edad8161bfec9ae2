"""Who is served and how: addresses of the home, faults of certificates, real servers with and without TLS."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import ssl
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from holdback.errors import HoldbackError
from holdback.web.serving import way as ways
from holdback.web.serving.home import home_addresses, is_home, local_name
from holdback.web.serving.way import Way, way

BROWSER = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) Version/18.1 Mobile/15E148 Safari/604.1"


@pytest.mark.parametrize(
    "address, is_one",
    [
        ("127.0.0.1", True),
        ("::1", True),
        ("192.168.1.20", True),
        ("10.1.2.3", True),
        ("172.31.0.9", True),
        ("fd12:3456::1", True),
        ("::ffff:192.168.1.20", True),
        ("::ffff:8.8.8.8", False),
        ("8.8.8.8", False),
        ("172.32.0.1", False),
        ("100.64.0.1", False),
        ("169.254.7.7", False),
        ("fe80::1%eth0", False),
        ("2001:4860:4860::8888", False),
        ("0.0.0.0", False),
        ("", False),
        ("barn", False),
    ],
)
def test_is_home__by_rfc_1918_and_4193(address: str, is_one: bool) -> None:
    assert is_home(address) is is_one


def test_home_addresses__are_private_and_no_loopback() -> None:
    for address in home_addresses():
        assert is_home(address)
        assert not address.startswith("127.")


@pytest.mark.parametrize(
    "name, said", [("Barn", "barn.local"), ("barn.lan", "barn.local"), ("localhost", ""), ("ba_rn", ""), ("", "")]
)
def test_local_name__is_plain(monkeypatch: pytest.MonkeyPatch, name: str, said: str) -> None:
    monkeypatch.setattr(socket, "gethostname", lambda: name)
    assert local_name() == said


def code(**asked: Any) -> str:
    with pytest.raises(HoldbackError) as error:
        way(**asked)
    (fault,) = error.value.faults
    assert fault.hint
    return fault.code


def test_way__without_a_network_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways, "home_addresses", list)
    assert code(home=True) == "CLI-010"
    assert way() == Way()


def test_way__certificate_and_key_go_together(tmp_path: Path) -> None:
    assert code(certificate="a.crt") == "CLI-011"
    assert code(key="a.key") == "CLI-011"
    assert code(own_certificate=True, certificate="a.crt", key="a.key") == "CLI-011"
    assert code(certificate="nowhere.crt", key="nowhere.key") == "CLI-012"
    (tmp_path / "a").write_text("no certificate")
    assert code(certificate=str(tmp_path / "a"), key=str(tmp_path / "a")) == "CLI-012"


def test_way__says_what_is_not_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways.importlib.util, "find_spec", lambda name: None)  # type: ignore[attr-defined]  # the module's own
    with pytest.raises(HoldbackError, match=r"HTTPS needs cheroot and cryptography.*holdback\[phone\]"):
        way(own_certificate=True)


def test_way__tells_the_settings() -> None:
    told = {"HOLDBACK_HOSTS": "barn.example"}
    Way(("192.168.1.20",), "barn.local", Path("a"), Path("b")).tell(told)
    assert told["HOLDBACK_HOSTS"].split(",") == [
        "localhost",
        "127.0.0.1",
        "[::1]",
        "192.168.1.20",
        "barn.local",
        "barn.example",
    ]
    assert (told["HOLDBACK_HOME"], told["HOLDBACK_HTTPS"]) == ("1", "1")
    plain: dict[str, str] = {}
    Way().tell(plain)
    assert plain == {}


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


HOME = "127.0.0.2"
"""Stands for an address in a home network: it is there on Linux, and 127.0.0.1 alone is not found by it."""
LAUNCH = f"""
import sys
from holdback.web.serving import home
home.home_addresses = lambda: ["{HOME}"]
from holdback.cli import main
sys.exit(main(sys.argv[1:]))
"""
has_second_address = pytest.mark.skipif(sys.platform != "linux", reason="127.0.0.2 is not there")


@contextmanager
def served(folder: Path, *arguments: str) -> Iterator[dict[str, Any]]:
    """What a real server says at its start; it is stopped at the end."""
    port = str(free_port())
    command = [sys.executable, "-c", LAUNCH, "serve", "--json", "--port", port, *arguments]
    given = {key: value for key, value in os.environ.items() if not key.startswith(("HOLDBACK_", "DJANGO_"))}
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**given, "HOLDBACK_DATA": str(folder)})
    try:
        assert process.stdout is not None
        lines = ""
        for line in process.stdout:
            lines += line
            if line.startswith("}"):
                break
        yield json.loads(lines)
    finally:
        _stop(process)


def _stop(process: subprocess.Popen[str]) -> None:
    """Interrupt it as Ctrl-C does, again where it was about to start; in the end it is killed."""
    for _ in range(4):
        process.send_signal(signal.SIGINT)
        try:
            process.communicate(timeout=8)
        except subprocess.TimeoutExpired:
            continue
        return
    process.kill()
    process.communicate()


@dataclass
class Answer:
    """What a server answered."""

    status: int
    cookie: str
    text: str


def fetch(
    address: str, context: ssl.SSLContext | None = None, *, method: str = "GET", body: str = "", **headers: str
) -> Answer:
    scheme, _, rest = address.partition("://")
    host, _, path = rest.partition("/")
    connection = (
        http.client.HTTPSConnection(host, timeout=20, context=context)
        if scheme == "https"
        else http.client.HTTPConnection(host, timeout=20)
    )
    connection.request(method, f"/{path}", body or None, {"User-Agent": BROWSER, **headers})
    answer = connection.getresponse()
    found = Answer(answer.status, answer.headers.get("Set-Cookie", ""), answer.read().decode())
    connection.close()
    return found


@pytest.mark.slow
def test_serve__by_https_with_an_own_certificate(tmp_path: Path) -> None:
    with served(tmp_path, "--own-certificate") as said:
        start = said["address"].partition("/open/")[0]
        assert start.startswith("https://127.0.0.1:")
        context = ssl.create_default_context(cafile=said["authority"])
        assert fetch(f"{start}/", context).status == 403, "nobody gets in without the address"
        opened = fetch(said["address"], context)
        assert opened.status == 302
        cookie = opened.cookie
        assert {"Secure", "HttpOnly", "SameSite=Strict"} <= set(cookie.split("; "))
        session = cookie.split(";")[0]
        page = fetch(f"{start}/phone/", context, Cookie=session)
        assert page.status == 200
        assert "come by HTTPS" in page.text
        assert "iPhone, Safari" in page.text
        assert said["fingerprint"] in page.text
        csrf = page.cookie.split(";")[0]
        token = csrf.split("=")[1]
        sent = {
            "Cookie": f"{session}; {csrf}",
            "X-CSRFToken": token,
            "Content-Type": "application/x-www-form-urlencoded",
        }
        body = "name=Room+1&within="
        made = fetch(f"{start}/places/new/room/", context, method="POST", body=body, Referer=f"{start}/", **sent)
        assert made.status == 302
        strange = fetch(
            f"{start}/places/new/room/", context, method="POST", body=body, Origin="https://evil.example", **sent
        )
        assert strange.status == 403
        with pytest.raises(ssl.SSLCertVerificationError):
            fetch(f"{start}/", ssl.create_default_context())


@pytest.mark.slow
@has_second_address
def test_serve__at_home_by_http(tmp_path: Path) -> None:
    with served(tmp_path, "--home") as said:
        address = said["home"][0]
        start = address.partition("/open/")[0]
        assert start.startswith(f"http://{HOME}:")
        assert fetch(f"{start}/").status == 403
        opened = fetch(address)
        assert opened.status == 302
        assert fetch(address).status == 403, "once"
        session = opened.cookie.split(";")[0]
        assert "Secure" not in opened.cookie
        page = fetch(f"{start}/phone/", Cookie=session)
        assert "Make an address" in page.text
        assert fetch(f"{start}/", Host="evil.example", Cookie=session).status == 400
        made = fetch(f"{start}/phone/", method="POST", Cookie=session)
        assert made.status == 403, "no form, no address"
        assert fetch(said["address"]).status == 302, "this computer has an address of its own"


@pytest.mark.slow
@has_second_address
def test_serve__listens_on_this_computer_only_unless_asked(tmp_path: Path) -> None:
    with served(tmp_path) as said:
        port = said["address"].split(":")[2].split("/")[0]
        assert "home" not in said
        with pytest.raises(OSError, match=r"refused|timed out"):
            fetch(f"http://{HOME}:{port}/")
