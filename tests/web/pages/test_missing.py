"""An address that leads nowhere still says what to do."""

from django.test import Client

from holdback.web.access.tokens import new_token


def test_missing_page__says_what_to_do(db: None, client: Client) -> None:
    client.get(f"/open/{new_token()}/")
    answer = client.get("/no-such-page/")
    assert answer.status_code == 404
    assert "This address leads to nothing" in answer.content.decode()


def test_missing_animal__says_what_to_do(db: None, client: Client) -> None:
    client.get(f"/open/{new_token()}/")
    answer = client.get("/animals/00000000-0000-0000-0000-000000000000/")
    assert answer.status_code == 404
    assert "To the collection" in answer.content.decode()
