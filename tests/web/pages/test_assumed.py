"""Putting one's own number in the place of one that is assumed."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client

from holdback.bridge import catalogue_of_records
from holdback.web.records.models import Animal

Read = Callable[..., str]


def test_change__whole_map_widens_the_spread_of_a_share(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    from holdback.bridge import answers

    before = answers().descent.share("22-11", "Marrowfen").sd
    said = {"value": "4", "low": "3", "high": "5", "note": "A map of my own."}
    assert opened.post("/almanac/assumed/chromosomes/map_length_morgan/", said).status_code == 302
    assert catalogue_of_records().chromosomes["map_length_morgan"].value == 4.0
    assert answers().descent.share("22-11", "Marrowfen").sd > 1.2 * before
    assert "your own" in read("/almanac/")
    assert opened.post("/almanac/assumed/chromosomes/map_length_morgan/as-shipped/").status_code == 302
    assert answers().descent.share("22-11", "Marrowfen").sd == pytest.approx(before)


def test_change__how_long_a_weight_does_not_count(opened: Client, read: Read, db: None) -> None:
    said = {"value": "120", "low": "90", "high": "150", "note": "Mine are heavy again in four months."}
    assert opened.get("/almanac/assumed/size/recovery_window_days/").status_code == 200
    assert opened.post("/almanac/assumed/size/recovery_window_days/", said).status_code == 302
    assert catalogue_of_records().size["recovery_window_days"].value == 120
    assert "Mine are heavy again in four months." in read("/almanac/")


def test_change__a_pair_of_chromosomes(opened: Client, db: None) -> None:
    pair = catalogue_of_records().chromosome_pairs[0]
    address = f"/almanac/assumed/chromosome/{pair.name}/"
    assert opened.get(address).status_code == 200
    assert opened.post(address, {"morgan": "3.5", "dna_mb": str(pair.dna_mb), "note": ""}).status_code == 302
    changed = catalogue_of_records().chromosome_pairs[0]
    assert (changed.name, changed.morgan) == (pair.name, 3.5)
    assert len(catalogue_of_records().chromosome_pairs) == 18


def test_change__says_what_is_wrong(opened: Client, db: None) -> None:
    said = {"value": "0.5", "low": "0.6", "high": "0.7", "note": ""}
    response = opened.post("/almanac/assumed/records/claim_trust/", said)
    assert response.status_code == 422
    assert "lies outside its own range" in response.content.decode()
    assert opened.get("/almanac/assumed/records/no_such/").status_code == 404
    assert opened.post("/almanac/assumed/records/claim_trust/as-shipped/").status_code == 404
