"""A small collection and a client that the door let in.

Models are imported where they are used: this file may be read before Django is set up.
"""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from django.test import Client

if TYPE_CHECKING:
    from holdback.web.records.models import Animal

WHO = "Wrackline Barn"
Read = Callable[..., str]


@pytest.fixture
def read(opened: Client) -> Read:
    """Function that gets an address and gives the words a person reads, without the mark-up."""

    def words(address: str, **asked: str) -> str:
        response = opened.get(address, asked)
        assert response.status_code == 200, response.status_code
        return plain(response.content.decode())

    return words


def plain(page: str) -> str:
    """Text of a page, spaces made one, no-break spaces plain."""
    text = re.sub(r"<(script|style|datalist)\b.*?</\1>", " ", page, flags=re.DOTALL)
    text = html.unescape(re.sub(r"<[^>]+>", " ", text)).replace("\u00a0", " ")
    return re.sub(r"\s+([.,;:])", r"\1", re.sub(r"\s+", " ", text))


@pytest.fixture
def opened(db: None, client: Client) -> Client:
    """Client with an open session."""
    from holdback.web.access.tokens import new_token

    client.get(f"/open/{new_token()}/")
    return client


@pytest.fixture
def barn(db: None) -> dict[str, Animal]:
    """Invented animals: Ledger shows Pastel and Clown; Umber, an Enchi, may carry Clown through her dam."""
    from holdback.web.records.services import add_animal, add_clutch, add_line_claim, add_measurement

    found: dict[str, Animal] = {}

    def add(tag: str, name: str, sex: str, genes: str = "", **fields: str) -> None:
        found[name] = add_animal(who=WHO, tag=tag, name=name, sex=sex, genes=genes, **fields)  # type: ignore[arg-type]  # names are literal below

    add("16-01", "Mortar", "male", "Enchi", origin="wild caught", status="breeder")
    add("17-02", "Quill", "female", "Clown", hatched="2017", status="breeder")
    add("19-01", "Thistle", "female", hatched="2019-07-12", dam="17-02", sires="16-01")
    add("20-07", "Harrow", "male", "Pastel het Clown", hatched="2020-08-01", status="breeder")
    add("22-05", "Ledger", "male", "Pastel Clown", hatched="2022-07-02", dam="17-02", sires="20-07")
    add_clutch(who=WHO, tag="22-C4", dam="19-01", sires="16-01", laid="2022-05-20", hatched="2022-07-18", eggs=6)
    add("22-11", "Umber", "female", "Enchi", hatched="2022-07-18", origin="captive bred", clutch="22-C4")
    add("22-09", "Sorrel", "female", hatched="2022-07-18", clutch="22-C4")
    add("23-03", "Fennel", "male", "Spider", hatched="2023-06", status="sold")
    add("24-02", "Tansy", "male", "Pastel", hatched="2024-07-30", sires="22-05:0.8|20-07:0.2", dam="22-11")
    add("25-01", "Sedge", "male", "het Clown", hatched="2025-07-01")
    add_line_claim(found["Mortar"], who=WHO, line="Marrowfen", ground="Sold as wild caught Marrowfen.")
    for date, grams, condition in (
        ("2022-07-18", 94, ""),
        ("2026-03-02", 3010, "empty"),
        ("2026-05-06", 3140, "gravid"),
    ):
        add_measurement(found["Umber"], who=WHO, date=date, value=grams, condition=condition)
    return found
