"""An animal's page: only what the records support, with how it is known."""

from __future__ import annotations

import re
from collections.abc import Callable
from uuid import uuid4

import pytest
from django.test import Client

from holdback.web.records.models import Animal, Claim, Look
from holdback.web.records.services import add_measurement, set_parents

Read = Callable[..., str]


@pytest.fixture
def umber(barn: dict[str, Animal]) -> Animal:
    return barn["Umber"]


def address(animal: Animal, rest: str = "") -> str:
    return f"/animals/{animal.pk}/{rest}"


def test_animal__opens_with_its_answer(read: Read, umber: Animal) -> None:
    text = read(address(umber))
    assert re.search(r"An Enchi female\. She may carry Clown, (about )?\d+ in \d+\.", text)


def test_animal__names_the_weight_left_out_and_why(read: Read, umber: Animal) -> None:
    text = read(address(umber))
    assert "3,010 g 2 March 2026 measured" in text
    assert "3,140 g on 6 May 2026 is left out: gravid." in text


def test_animal__draws_each_gene_with_its_ground(read: Read, umber: Animal) -> None:
    text = read(address(umber))
    assert re.search(r"Clown about \d+ in \d+ carries it \d+ % het by descent ", text)
    assert "Enchi one copy seen Shows Enchi" in text
    assert "Step by step Of an animal of which nothing is known: " in text


def test_animal__unfolds_to_what_each_record_moved(read: Read, umber: Animal) -> None:
    # Her dam carries Clown for sure, her sire as any animal may: half of the young do, and a little more.
    assert "Its dam Thistle 19-01 carries Clown for sure, as her dam Quill 17-02 shows it. Now 50" in read(
        address(umber)
    )


def test_animal__proven_by_a_young_is_100_percent_by_offspring(read: Read, barn: dict[str, Animal]) -> None:
    text = read(address(barn["Harrow"]))
    assert "He carries Clown." in text
    assert "Clown one copy 100 % het by offspring One young by Quill 17-02, who shows Clown, shows it" in text


def test_animal__does_not_prove_a_claim(read: Read, barn: dict[str, Animal]) -> None:
    text = read(address(barn["Sedge"]))
    assert "He may carry Clown" in text
    assert re.search(r"\d\d % het, as claimed claimed", text)
    assert "100 % het" not in text, "a claim is trusted, not believed"


def test_animal__says_a_line_as_a_claim(read: Read, barn: dict[str, Animal]) -> None:
    text = read(address(barn["Mortar"]))
    assert "claimed all Marrowfen" in text
    assert "Marrowfen 100 % claimed Sold as wild caught Marrowfen." in text


def test_animal__shows_candidate_sires_with_their_chances(read: Read, barn: dict[str, Animal]) -> None:
    text = read(address(barn["Tansy"]))
    assert "Chance as written By the genes of the clutch" in text
    ledger = re.search(r"Ledger 22-05 Pastel Clown 80 % ([\d.]+) %", text)
    harrow = re.search(r"Harrow 20-07 Pastel het Clown 20 % ([\d.]+) %", text)
    assert ledger
    assert harrow
    assert float(ledger[1]) + float(harrow[1]) == pytest.approx(100, abs=0.11)


def test_animal__shows_no_sire_in_words(read: Read, barn: dict[str, Animal]) -> None:
    set_parents(barn["Tansy"], who="test", dam="22-11", sires="none")
    assert "no sire, recorded as such" in read(address(barn["Tansy"]))


def test_animal__lists_its_family(read: Read, umber: Animal) -> None:
    text = read(address(umber))
    for name in ("Thistle 19-01", "Mortar 16-01", "Sorrel 22-09", "Tansy 24-02"):
        assert name in text


def test_animal__carries_the_caution_of_its_gene(read: Read, barn: dict[str, Animal]) -> None:
    text = read(address(barn["Fennel"]))
    assert "Spider: neurological" in text


def test_animal__without_a_month_of_hatching_has_no_age(read: Read, opened: Client, barn: dict[str, Animal]) -> None:
    quill = barn["Quill"]
    add_measurement(quill, who="test", date="2026-01-02", value=1800)
    assert "ages are not known" in read(address(quill))


def test_animal__that_is_not_there_is_not_found(opened: Client) -> None:
    assert opened.get(f"/animals/{uuid4()}/").status_code == 404


def test_look_and_claim__are_kept_and_listed(opened: Client, read: Read, umber: Animal) -> None:
    opened.post(address(umber, "look/"), {"allele": "YB", "copies": "1", "sure": "0.7", "seen_by": "Wrackline Barn"})
    opened.post(address(umber, "claim/"), {"allele": "Pied", "copies": "1", "percent": "66", "said_by": "the seller"})
    assert Look.objects.filter(derived=False).get().allele == "yellow-belly"
    assert Claim.objects.filter(derived=False).get().one == pytest.approx(0.66)
    text = read(address(umber))
    assert "7 in 10 by eye" in text
    assert "66 % het Piebald" in text


def test_animal__names_the_mates_that_would_settle_it(read: Read, barn: dict[str, Animal]) -> None:
    assert "Looking for the mates" in read(address(barn["Umber"]))
    text = read(address(barn["Umber"], "settle/"))
    assert text.strip() in read(address(barn["Umber"]), all="1"), "without a script it is a page away"
    assert "Put to Ledger 22-05: one young that shows Clown proves it" in text
    assert "Related through 17-02: the young are inbred" in text, "Quill is her granddam and his dam"


def test_animal__of_unknown_sex_has_no_mates_named(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    from holdback.web.records.services import add_animal

    young = add_animal(who="test", tag="26-01", genes="66% het Clown")
    assert "What would settle it" not in read(address(young))


def test_misfits__say_what_does_not_fit_with_the_way_to_the_record(
    opened: Client, read: Read, barn: dict[str, Animal]
) -> None:
    assert "Nothing in the records is at odds" in read(address(barn["Sedge"], "fit/"))
    opened.post(address(barn["Sorrel"], "look/"), {"allele": "Banana", "copies": "1", "sure": "1"})
    text = read(address(barn["Sorrel"], "fit/"))
    assert "Banana" in text
    assert "Change what is written of" in text
    assert "The look of Sorrel (22-09) was written down wrongly" in text


def test_look__of_an_unknown_gene_offers_the_nearest(opened: Client, umber: Animal) -> None:
    response = opened.post(address(umber, "look/"), {"allele": "Pastle", "copies": "1", "sure": "1"})
    assert response.status_code == 422
    assert "Did you mean Pastel?" in response.content.decode()


def test_change__is_written_and_stands_in_the_history(opened: Client, read: Read, umber: Animal) -> None:
    fields = {"name": "Umber", "hatched": "2022-07-18", "origin": "captive bred"}
    opened.post(address(umber, "change/"), {**fields, "genes": "Enchi het Clown"})
    umber.refresh_from_db()
    assert (umber.genes_text, umber.tag, umber.sex) == ("Enchi het Clown", "22-11", "female")
    assert "Which sex it is" in read(
        address(umber, "change/"),
    ), "id, sex and parents show first what would follow"
    assert "genes: Enchi → Enchi het Clown" in read(address(umber, "history/"))


def test_parents__refuse_an_ancestor_of_itself(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post(address(barn["Quill"], "parents/"), {"dam": "22-11"})
    assert response.status_code == 422
    assert barn["Quill"].dam_id is None


def test_undo__that_comes_too_late_says_why(opened: Client, umber: Animal) -> None:
    from holdback.web.records.models import Change

    batch = Change.objects.filter(record=umber.pk).earliest("id").batch
    response = opened.post(f"/undo/{batch}/")
    assert response.status_code == 422
    assert "cannot be taken back now" in response.content.decode()
    assert Animal.objects.filter(pk=umber.pk).exists()


def test_history__does_not_take_back_other_animals_from_the_page_of_one(opened: Client, umber: Animal) -> None:
    from uuid import UUID

    from holdback.web.records.services import add_measurement

    batch = UUID(int=7)
    for animal in (umber, Animal.objects.get(tag="22-09")):
        add_measurement(animal, who="test", date="2026-06-01", value=1200, batch=batch)
    text = opened.get(address(umber)).content.decode()
    assert "Add measurement, together with others" in text
    assert f"/undo/{batch}/" not in text
