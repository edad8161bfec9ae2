"""The almanac: genes found, one gene told with its standing, and the keeper's own."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from django.test import Client

from holdback.bridge import catalogue_of_records
from holdback.web.records.models import Animal, GeneChange

Read = Callable[..., str]


@pytest.mark.parametrize(
    "asked,here,gone",
    [
        ({"text": "YB"}, "Yellow Belly", "Clown"),
        ({"inheritance": "recessive"}, "Clown", "Pastel"),
        ({"mark": "published"}, "Clown", "Pastel"),
        ({"place": "bel"}, "Mojave", "Clown"),
        ({"here": "1"}, "Enchi", "Mojave"),
    ],
)
def test_almanac__finds_genes(read: Read, barn: dict[str, Animal], asked: dict[str, str], here: str, gone: str) -> None:
    text = read("/almanac/", **asked).partition("genes")[2]
    text = text[text.index("Gene How it shows") :]
    assert here in text
    assert f" {gone} " not in text


def test_gene__tells_what_pairings_give(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/almanac/clown/")
    assert "Shows only with two copies." in text
    assert (
        "carrier with carrier 1 in 4 shows Of the young that do not show, 2 in 3 carries it: the trade’s 66 % het."
        in text
    )
    assert "carrier with Clown 1 in 2 shows All the rest carry it: 100 % het." in text


def test_gene__gives_standing_and_source(read: Read) -> None:
    text = read("/almanac/clown/")
    assert "The gene is MC1R published" in text
    assert "10.1111/pcmr.13215" in text


def test_gene__lists_who_carries_it_and_who_may_by_all_records(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/almanac/clown/")
    assert "animals, by all records; surest first." in text
    assert "Ledger 22-05, male two copies seen" in text
    assert "Harrow 20-07, male carries it by offspring One young by Quill 17-02" in text
    assert "Sedge 25-01, male may carry it" in text
    assert text.index("Ledger") < text.index("Harrow") < text.index("Sedge") < text.index("Umber")


def test_gene__lists_what_is_written_where_the_rest_would_take_long(
    read: Read, barn: dict[str, Animal], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("holdback.bridge.answered.IN_REQUEST", 0)
    text = read("/almanac/clown/")
    assert "by what is written of each; surest first." in text
    assert "Ledger 22-05, male shows it seen, as written" in text
    assert "Sedge 25-01, male carries it, as claimed" in text


def test_gene__warns(read: Read) -> None:
    assert "Neurological, any carrier" in read("/almanac/spider/")


def test_gene__that_is_not_there_is_not_found(opened: Client) -> None:
    assert opened.get("/almanac/blurple/").status_code == 404


@pytest.mark.django_db
def test_every_gene__has_a_page(opened: Client) -> None:
    keys = list(catalogue_of_records().alleles)
    assert len(keys) > 100
    assert [key for key in keys if opened.get(f"/almanac/{key}/").status_code != 200] == []


def _gene(**fields: str) -> dict[str, str]:
    return {"inheritance": "recessive", "mark": "your own", "locus": "", **fields}


def test_add_gene__is_read_from_then_on(opened: Client, read: Read) -> None:
    response = opened.post("/almanac/new/", _gene(name="Wrackline", two_copies="ash grey", aliases="WRK"), follow=True)
    text = response.content.decode()
    assert response.status_code == 200
    assert "Wrackline is kept." in text
    assert "Ash grey." in text
    assert "Wrackline, one copy" in read("/animals/reading/", genes="het WRK")


def test_add_gene__refuses_a_name_in_use(opened: Client) -> None:
    response = opened.post("/almanac/new/", _gene(name="Clown"))
    assert response.status_code == 422
    assert not GeneChange.objects.exists()


def test_change_gene__keeps_only_what_differs(opened: Client, read: Read) -> None:
    from holdback.web.pages.forms.gene import initial_of

    start = initial_of(catalogue_of_records().alleles["clown"])
    opened.post("/almanac/clown/change/", {**start, "note": "Ours throw a broken band."})
    assert GeneChange.objects.get().patch == {"note": "Ours throw a broken band."}
    assert "Ours throw a broken band." in read("/almanac/clown/")


def _change_clown(opened: Client, **fields: str) -> None:
    from holdback.web.pages.forms.gene import initial_of

    start = initial_of(catalogue_of_records().alleles["clown"])
    assert opened.post("/almanac/clown/change/", {**start, **fields}).status_code == 302


def test_gene__says_how_common_and_that_it_is_assumed(read: Read) -> None:
    said = (
        r"How common [\d.]+ % assumed Share of the gene copies in captive animals of which nothing is known\."
        r" No survey was found\."
    )
    assert re.search(said, read("/almanac/clown/"))
    assert re.search(said, read("/almanac/pastel/"))
    assert "Missed by eye 8 % assumed" in read("/almanac/fire/")


def test_change_gene__how_common_is_given_in_percent_and_leaves_the_standing(opened: Client, read: Read) -> None:
    _change_clown(opened, frequency="0.7")
    assert GeneChange.objects.get().patch == {"frequency": 0.007}
    text = read("/almanac/clown/")
    assert "How common 0.7 % assumed" in text
    assert "which nothing is known. Your own figure." in text
    assert "Two copies are needed to show published" in text


def test_change_gene__how_common_emptied_is_what_the_almanac_ships(opened: Client, read: Read) -> None:
    shipped = re.search(r"How common [\d.]+ % assumed", read("/almanac/clown/"))
    assert shipped
    _change_clown(opened, frequency="3", note="Ours throw a broken band.")
    assert shipped[0] not in read("/almanac/clown/")
    _change_clown(opened, frequency="")
    assert GeneChange.objects.get().patch == {"note": "Ours throw a broken band."}
    assert shipped[0] in read("/almanac/clown/")


def test_change_gene__the_last_field_emptied_takes_the_change_back(opened: Client) -> None:
    _change_clown(opened, frequency="3")
    _change_clown(opened, frequency="")
    assert not GeneChange.objects.exists()


def test_change_gene__nothing_changed_keeps_nothing(opened: Client) -> None:
    _change_clown(opened)
    assert not GeneChange.objects.exists()


@pytest.mark.parametrize(
    "key, percent, fault",
    [
        ("clown", "60", "less than or equal to 50"),
        ("clown", "-1", "greater than or equal to 0"),
        ("clown", "50", "frequency is 0.5 and must be less."),
    ],
)
def test_change_gene__how_common_out_of_range(opened: Client, key: str, percent: str, fault: str) -> None:
    from holdback.web.pages.forms.gene import initial_of

    start = initial_of(catalogue_of_records().alleles[key])
    response = opened.post(f"/almanac/{key}/change/", {**start, "frequency": percent})
    assert response.status_code == 422
    assert fault in response.content.decode()
    assert not GeneChange.objects.exists()


def test_almanac__says_how_far_records_are_trusted(read: Read) -> None:
    text = read("/almanac/").partition("How far records are trusted")[2]
    assert "no study of keepers' records was found" in text
    assert "A seller’s word on hidden genes holds 95 80–99 from memory Share of sellers' statements" in text
    assert "A clutch has no sire 0.1 0.01–1 from memory" in text
    assert "10.1111/bij.12286" in text


def test_almanac__trust_is_not_sent_again_with_the_list(opened: Client) -> None:
    response = opened.get("/almanac/", {"text": "clown"}, headers={"hx-request": "true"})
    assert "trusted" not in response.content.decode()


def test_almanac__a_keepers_own_trust_is_marked_so(read: Read) -> None:
    from holdback.web.records.services import change_gene

    change_gene(who="Wrackline Barn", kind="records", key="claim_trust", patch={"value": 0.9})
    assert "A seller’s word on hidden genes holds 90 none given your own none given" in read("/almanac/")


def test_find__finds_animals_and_genes(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/find/", text="clown")
    assert "Ledger 22-05" in text
    assert "Clown recessive" in text
