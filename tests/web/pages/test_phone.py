"""Open on a phone: a one-time address as a code, who is let in, and how a browser is shut out."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from django.test import Client
from pytest_django.fixtures import Settings

from holdback.web.access.sessions import device_words
from holdback.web.access.tokens import new_token
from holdback.web.pages.phone import views
from holdback.web.serving.certificates import own_certificate

PHONE = "Mozilla/5.0 (Linux; Android 15; Pixel 9) AppleWebKit/537.36 (KHTML) Chrome/131.0.0.0 Mobile Safari/537.36"
HOME = ["localhost", "127.0.0.1", "[::1]", "192.168.1.20"]


@pytest.fixture
def at_home(opened: Client, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Client:
    """Client of a site that is served to the home network, with one address there."""
    settings.HOLDBACK_HOME, settings.ALLOWED_HOSTS = True, HOME
    monkeypatch.setattr(views, "home_addresses", lambda: ["192.168.1.20"])
    opened.defaults["HTTP_HOST"] = "127.0.0.1:8750"
    return opened


def phone(*, host: str = "192.168.1.20:8750") -> Client:
    return Client(HTTP_HOST=host, HTTP_USER_AGENT=PHONE, REMOTE_ADDR="192.168.1.77")


def way_in(client: Client) -> str:
    page = client.post("/phone/").content.decode()
    found = re.search(r"<code>(http[^<]+)</code>", page)
    assert found
    return found[1]


def test_phone__on_this_computer_only_says_how_to_serve(opened: Client, settings: Settings) -> None:
    page = opened.get("/phone/").content.decode()
    assert "holdback serve --home" in page
    assert "<select" not in page.split('<main id="main"')[1]
    assert "/open/" not in opened.post("/phone/").content.decode(), "no address that leads nowhere"


def test_phone__gives_one_address_that_lets_one_browser_in(at_home: Client) -> None:
    assert "/open/" not in at_home.get("/phone/").content.decode(), "to look makes none"
    address = way_in(at_home)
    assert address.startswith("http://192.168.1.20:8750/open/")
    path = address.removeprefix("http://192.168.1.20:8750")
    first, second = phone(), phone()
    assert first.get("/").status_code == 403
    assert first.get(path).status_code == 302
    assert first.get("/").status_code == 200
    assert second.get(path).status_code == 403
    assert second.get("/").status_code == 403


@pytest.mark.parametrize(
    "peer, answer", [("192.168.1.77", 302), ("127.0.0.1", 302), ("203.0.113.9", 403), ("8.8.8.8", 403)]
)
def test_door__lets_the_home_network_knock_and_nobody_else(at_home: Client, peer: str, answer: int) -> None:
    asked = Client(HTTP_HOST="192.168.1.20:8750", REMOTE_ADDR=peer)
    assert asked.get(f"/open/{new_token()}/").status_code == answer


def test_door__refuses_names_it_does_not_answer_to(at_home: Client) -> None:
    assert Client(HTTP_HOST="evil.example", REMOTE_ADDR="192.168.1.77").get("/").status_code == 400


def test_opened__lists_browsers_without_their_keys_and_ends_one(at_home: Client) -> None:
    visitor = phone()
    visitor.get(way_in(at_home).removeprefix("http://192.168.1.20:8750"))
    page = at_home.get("/phone/").content.decode()
    assert "Android phone or tablet, Chrome" in page
    assert page.count(", this browser") == 2, "in sight, and on the button for who hears it"
    assert visitor.cookies["holdback_session"].value not in page
    marks = re.findall(r'name="mark" value="([0-9a-f]{20})"', page)
    assert len(marks) == 2
    response = at_home.post("/phone/end/", {"mark": marks[1]}, follow=True)
    assert "One browser is let in no more." in response.content.decode()
    assert visitor.get("/").status_code == 403
    assert at_home.get("/").status_code == 200


def test_opened__ends_all_others_or_oneself(at_home: Client) -> None:
    visitors = [phone(), phone()]
    for visitor in visitors:
        visitor.get(way_in(at_home).removeprefix("http://192.168.1.20:8750"))
    assert (
        "2 browsers are let in no more."
        in at_home.post("/phone/end/", {"mark": "others"}, follow=True).content.decode()
    )
    assert [visitor.get("/").status_code for visitor in visitors] == [403, 403]
    assert "Nobody was left" in at_home.post("/phone/end/", {"mark": "nonsense"}, follow=True).content.decode()
    page = at_home.get("/phone/").content.decode()
    (own,) = re.findall(r'name="mark" value="([0-9a-f]{20})"', page)
    at_home.post("/phone/end/", {"mark": own})
    assert at_home.get("/").status_code == 403


def test_authority__is_given_where_there_is_one(at_home: Client, settings: Settings, tmp_path: Path) -> None:
    settings.HOLDBACK_DATA = tmp_path
    assert at_home.get("/phone/authority.crt").status_code == 404
    pair = own_certificate(tmp_path / "certificates", ["192.168.1.20"], now=dt.datetime.now(dt.UTC))
    answer = at_home.get("/phone/authority.crt")
    assert answer.content == pair.authority.read_bytes()
    assert b"PRIVATE" not in answer.content
    assert pair.fingerprint in at_home.get("/phone/").content.decode()


@pytest.mark.parametrize(
    "agent, words",
    [
        ("", ""),
        ("curl/8", ""),
        (PHONE, "Android phone or tablet, Chrome"),
        ("Mozilla/5.0 (Windows NT 10.0) Chrome/131.0 Safari/537.36 Edg/131.0", "Windows computer, Edge"),
        ("Mozilla/5.0 (X11; Linux x86_64; rv:133.0) Gecko/20100101 Firefox/133.0", "Linux computer, Firefox"),
    ],
)
def test_device_words__say_what_a_browser_says(agent: str, words: str) -> None:
    assert device_words(agent) == words
