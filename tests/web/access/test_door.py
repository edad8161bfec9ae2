"""The door: what a browser gets without, with a spent, and with a good address."""

from __future__ import annotations

import pytest
from django.test import Client
from pytest_django.fixtures import Settings

from holdback.web.access.tokens import new_token

pytestmark = pytest.mark.django_db


def test_door__is_shut_without_a_token(client: Client) -> None:
    response = client.get("/")
    assert response.status_code == 403
    assert "holdback serve" in response.content.decode()


def test_door__answers_the_api_in_json(client: Client) -> None:
    response = client.get("/api/read?text=Pastel")
    assert response.status_code == 403
    assert "holdback serve" in response.json()["detail"]


def test_door__opens_with_a_token_and_leads_to_the_first_page(client: Client) -> None:
    response = client.get(f"/open/{new_token()}/")
    assert (response.status_code, response["Location"]) == (302, "/")
    assert client.get("/").status_code == 200


def test_door__opens_only_once(client: Client) -> None:
    token = new_token()
    client.get(f"/open/{token}/")
    response = Client().get(f"/open/{token}/")
    assert response.status_code == 403
    assert "has been used" in response.content.decode()


def test_door__is_not_opened_by_a_program_that_only_looks(client: Client) -> None:
    token = new_token()
    client.head(f"/open/{token}/")
    assert client.get("/").status_code == 403
    assert client.get(f"/open/{token}/").status_code == 302


def test_door__gives_a_fresh_session_key(client: Client) -> None:
    session = client.session
    session["seen"] = True
    session.save()
    before = session.session_key
    client.cookies["holdback_session"] = before or ""
    client.get(f"/open/{new_token()}/")
    assert client.cookies["holdback_session"].value != before


def test_door__refuses_another_host(client: Client, settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
    assert client.get("/", headers={"host": "example.org"}).status_code == 400


@pytest.mark.parametrize("peer, answer", [("127.0.0.1", 302), ("::1", 302), ("192.0.2.7", 403), ("", 403)])
def test_door__refuses_another_computer(client: Client, settings: Settings, peer: str, answer: int) -> None:
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
    response = client.get(f"/open/{new_token()}/", headers={"host": "localhost"}, REMOTE_ADDR=peer)
    assert response.status_code == answer


@pytest.mark.parametrize("address", ["/", "/open/x/", "/nowhere/"])
def test_policy__stands_on_every_answer(client: Client, address: str) -> None:
    response = client.get(address)
    assert response["Content-Security-Policy"].startswith("default-src 'self'")
    assert "unsafe" not in response["Content-Security-Policy"]
    assert response["X-Frame-Options"] == "DENY"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Referrer-Policy"] == "same-origin"


def test_pages__are_not_kept_by_the_browser(client: Client) -> None:
    client.get(f"/open/{new_token()}/")
    assert client.get("/")["Cache-Control"] == "no-store"
