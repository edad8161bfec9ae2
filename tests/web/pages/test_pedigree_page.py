"""The page of a pedigree: the drawing and the same in words, every option in the address."""

from __future__ import annotations

import re
from collections.abc import Callable
from uuid import uuid4
from xml.etree import ElementTree

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from holdback.web.records.models import Animal
from holdback.web.records.services import add_animal, set_parents

Read = Callable[..., str]
SVG = "{http://www.w3.org/2000/svg}"


def address(animal: Animal, rest: str = "") -> str:
    return f"/animals/{animal.pk}/pedigree{rest or '/'}"


@pytest.fixture
def umber(barn: dict[str, Animal]) -> Animal:
    return barn["Umber"]


def test_pedigree__opens_with_what_stands_out(read: Read, umber: Animal) -> None:
    # Sire to daughter: F = 1/2^2 (1 + 0) = 1/4 (Wright 1922).
    assert "Mortar 16-01 stands in it twice: sire and dam's sire. Inbreeding 25 %, by descent." in read(address(umber))


def test_pedigree__lists_the_same_as_it_draws(read: Read, umber: Animal) -> None:
    text = read(address(umber))
    lists = text[text.index("As a list") :]
    for words in (
        "Mortar 16-01 sire and dam's sire male",
        "Thistle 19-01 dam female 2019",
        "Quill 17-02 dam's dam female 2017",
        "Sorrel 22-09 clutch mate female 2022",
        "Tansy 24-02 son male 2024",
    ):
        assert words in lists


def test_pedigree__draws_each_animal_once_as_a_link(opened: Client, barn: dict[str, Animal]) -> None:
    page = opened.get(address(barn["Umber"])).content.decode()
    svg = page[page.index("<svg xmlns") :]
    svg = svg[: svg.index("</svg>")]
    for name in ("Mortar", "Thistle", "Quill", "Sorrel", "Tansy"):
        assert svg.count(f'href="{address(barn[name])}"') == 1


def test_pedigree__shades_by_line_with_the_ground_of_each_number(read: Read, umber: Animal) -> None:
    text = read(address(umber), shade="line:Marrowfen")
    assert "Share of Marrowfen" in text
    assert "Mortar 16-01 sire and dam's sire male not known 100 %, claimed" in text
    assert "Umber 22-11 the animal in question female 2022 75 %, by descent" in text
    assert "Quill 17-02 dam's dam female 2017 0 %, assumed" in text


def test_pedigree__shades_by_a_gene(read: Read, umber: Animal) -> None:
    text = read(address(umber), shade="gene:clown")
    assert "Thistle 19-01 dam female 2019 one copy, by descent" in text
    assert re.search(r"Umber 22-11 the animal in question female 2022 about \d in \d, by descent", text)
    assert "Quill 17-02 dam's dam female 2017 two copies, measured" in text
    assert "solid is two copies" in text


def test_pedigree__shades_by_inbreeding(read: Read, umber: Animal) -> None:
    text = read(address(umber), shade="inbreeding")
    assert "Umber 22-11 the animal in question female 2022 25 %, by descent" in text
    assert "Mortar 16-01 sire and dam's sire male not known 0 %, assumed" in text


def test_pedigree__offers_only_what_can_be_told(opened: Client, umber: Animal) -> None:
    page = opened.get(address(umber)).content.decode()
    offered = re.findall(r'<option value="((?:line|gene):[^"]+)"', page)
    assert "line:Marrowfen" in offered
    assert "gene:clown" in offered
    assert "gene:piebald" not in offered


def test_pedigree__beside_another_names_what_they_share(read: Read, umber: Animal) -> None:
    text = read(address(umber), **{"with": "Ledger"})
    # Quill is Ledger's dam and the dam of Umber's dam: (1/2)^(1 + 2 + 1) = 1/16 (Wright 1922).
    assert "Both go back to Quill 17-02. Young of the two would be 6.3 % inbred, by descent." in text
    assert "sire's dam" not in text.split("As a list")[0]
    assert "dam's dam of Umber, dam of Ledger, ancestor of both" in text
    assert "As a pair" in text


def test_pedigree__beside_an_ancestor_says_so(read: Read, barn: dict[str, Animal]) -> None:
    text = read(address(barn["Umber"]), **{"with": "16-01"})
    assert "Mortar 16-01 is an ancestor of Umber 22-11." in text


def test_pedigree__beside_a_stranger_says_that_none_is_on_record(read: Read, umber: Animal) -> None:
    text = read(address(umber), **{"with": "23-03"})
    assert "Umber 22-11 and Fennel 23-03 have no common ancestor on record." in text


@pytest.mark.parametrize(
    "asked, said",
    [
        ({"with": "zzz"}, "No animal is called 'zzz'. Give an id, or a name that only one bears. PAGE-003"),
        ({"shade": "gene:zzz"}, "A pedigree cannot be shaded by 'gene:zzz'. Choose one from the list. PAGE-002"),
        ({"shade": "zzz"}, "PAGE-002"),
        ({"shade": "line:zzz"}, "No claim names the line 'zzz'."),
    ],
)
def test_pedigree__says_what_it_cannot_do(read: Read, umber: Animal, asked: dict[str, str], said: str) -> None:
    assert said in read(address(umber), **asked)


def test_pedigree__shows_a_doubtful_sire_with_its_chance(read: Read, barn: dict[str, Animal]) -> None:
    text = read(address(barn["Tansy"]), up="1")
    assert "The sire of 1 clutch is in doubt." in text
    assert re.search(r"Ledger 22-05 possible sire male", text)
    assert "A dashed line: perhaps the sire, with the chance." in text
    drawing = text[text.index("The drawing") : text.index("Squares are males")]
    assert sum(int(one) for one in re.findall(r"(\d+) %", drawing)) == 100


def test_pedigree__tells_of_a_parent_that_is_not_on_record(read: Read, barn: dict[str, Animal]) -> None:
    set_parents(barn["Sedge"], who="test", dam="17-02", sires="")
    text = read(address(barn["Sedge"]))
    assert "1 parent is not on record." in text
    assert "Not on record sire male" in text


def test_pedigree__of_a_founder_says_that_no_parent_is_on_record(read: Read, barn: dict[str, Animal]) -> None:
    assert "No parent is on record." in read(address(barn["Fennel"]))


def test_pedigree__folds_clutch_mates_until_asked(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    for number in range(3):
        add_animal(who="test", tag=f"22-2{number}", clutch="22-C4")
    text = read(address(barn["Umber"]))
    assert "4 more" in text
    assert "4 clutch mates 1 female, 3 of unknown sex 2022" in text
    page = opened.get(address(barn["Umber"])).content.decode()
    assert 'href="?mates=all"' in page
    assert "4 more" not in read(address(barn["Umber"]), mates="all")


@pytest.mark.parametrize("given, kept", [("99", "6"), ("-2", "3"), ("x", "3"), ("0", "0")])
def test_pedigree__takes_the_nearest_number_that_can_be(opened: Client, umber: Animal, given: str, kept: str) -> None:
    page = opened.get(address(umber), {"up": given}).content.decode()
    assert f'<option value="{kept}" selected>' in page


def test_pedigree__keeps_its_options_when_one_moves_on(opened: Client, barn: dict[str, Animal]) -> None:
    page = opened.get(address(barn["Umber"]), {"up": "2", "shade": "inbreeding"}).content.decode()
    assert f'href="{address(barn["Mortar"])}?up=2&amp;shade=inbreeding"' in page


def test_pedigree__needs_few_queries_however_many_are_drawn(opened: Client, barn: dict[str, Animal]) -> None:
    counts = []
    for up in ("0", "6"):
        opened.get(address(barn["Tansy"]), {"up": up})
        with CaptureQueriesContext(
            connection,
        ) as few:
            opened.get(address(barn["Tansy"]), {"up": up})
        counts.append(len(few))
    assert counts[0] == counts[1]
    assert counts[1] <= 10


def test_pedigree__of_an_animal_that_is_not_there_is_not_found(opened: Client) -> None:
    assert opened.get(f"/animals/{uuid4()}/pedigree/").status_code == 404
    assert opened.get(f"/animals/{uuid4()}/pedigree.svg").status_code == 404


def test_file__stands_alone(opened: Client, umber: Animal) -> None:
    response = opened.get(address(umber, ".svg"), {"shade": "line:Marrowfen"})
    assert response["Content-Type"] == "image/svg+xml"
    assert 'filename="pedigree-22-11.svg"' in response["Content-Disposition"]
    root = ElementTree.fromstring(response.content)
    assert not list(root.iter(f"{SVG}a")), "a file leads nowhere"
    assert not list(root.iter(f"{SVG}style"))
    words = [one.text for one in root.iter(f"{SVG}text")]
    assert words[0] == "Pedigree of Umber 22-11"
    assert "Filled from below: share of Marrowfen." in words
    assert "Dashed outline: by descent." in words
    assert any(one.get("id") == "ped-hatch" for one in root.iter(f"{SVG}pattern"))


def test_file__that_cannot_be_drawn_leads_to_the_page_that_says_why(opened: Client, umber: Animal) -> None:
    response = opened.get(address(umber, ".svg"), {"with": "zzz"}, follow=True)
    assert "PAGE-003" in response.content.decode()


def test_same_tag__leads_to_the_right_animal(opened: Client, barn: dict[str, Animal]) -> None:
    """An animal that bears the tag of a dead one goes by its tag; the dead one by the beginning of its key too."""
    from holdback.web.pages.pedigree.keys import keys_by_id

    dead = add_animal(who="test", tag="26-01", status="died")
    alive = add_animal(who="test", tag="26-01")
    older = f"26-01 ({str(dead.pk)[:8]})"
    assert keys_by_id(["26-01", older, "none"]) == {"26-01": alive.pk, older: dead.pk}
