"""What pages say of sizes, by an evaluation made by hand."""

from __future__ import annotations

import re
from collections.abc import Callable
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from tests.web.pages.size_examples import Example, evaluation_of, question, response_of

from holdback.collection.collection import Collection
from holdback.web.jobs.models import Job, State
from holdback.web.pages.size import parts
from holdback.web.pages.worked_out import Working
from holdback.web.records.models import Animal
from holdback.web.records.services import add_animal, add_measurement

if TYPE_CHECKING:
    from holdback.answers.size import LineResponse, Sizes
    from holdback.size.evaluation import SizeEvaluation

Read = Callable[..., str]
DEVIATIONS = {"22-11": 34.0, "22-09": 30.0, "19-01": 12.0, "17-02": -8.0, "20-07": 5.0, "16-01": 20.0}


@pytest.fixture
def example(monkeypatch: pytest.MonkeyPatch) -> Example:
    """What the evaluation says; a test may change it before it asks for a page."""
    found = Example(dict(DEVIATIONS))

    def evaluate(collection: Collection, *_: Any) -> SizeEvaluation:
        return evaluation_of(collection, found)

    def response(self: Sizes, line: str) -> LineResponse:
        return response_of(self.collection, line)

    monkeypatch.setattr("holdback.answers.size.sizes.evaluate", evaluate)
    monkeypatch.setattr("holdback.answers.size.sizes.Sizes.response", response)
    return found


@pytest.fixture
def weighed(barn: dict[str, Animal], example: Example) -> dict[str, Animal]:
    """The barn with a weight of some more animals."""
    for name, grams in (("Sorrel", 2900), ("Thistle", 2090), ("Quill", 1700), ("Harrow", 1400)):
        add_measurement(barn[name], who="Wren", date="2026-03-02", value=grams, condition="empty")
    return barn


def test_animal__asks_afterwards_and_shows_plain_weights_meanwhile(
    opened: Client, read: Read, weighed: dict[str, Animal]
) -> None:
    address = f"/animals/{weighed['Umber'].pk}/"
    page = opened.get(address).content.decode()
    assert f'hx-get="{address}size/"' in page
    assert "above the band: ordinary females" in page
    assert "Comparing all weights of the collection." in read(address)


def test_animal__says_how_big_with_range_and_ground(read: Read, weighed: dict[str, Animal]) -> None:
    text = read(f"/animals/{weighed['Umber'].pk}/size/")
    assert "Heavier than 93 of 100 ordinary females of 43 months, 85 to 98." in text
    assert "93 of 100 85 to 98 measured So many of 100 ordinary females of 43 months are lighter." in text
    assert "3,010 g on 2 March 2026" in text
    assert "Compared with females of 43 months: 31 of yours and the usual figures." in text
    assert "Will weigh, grown 2,410 g 1,930–3,020 by descent Its own curve." in text
    assert "Against ordinary +34 % +12 to +61 by descent Its weights and its kin." in text
    assert "Weight passed on +17 % +2 to +35 by descent Beyond what the lines give: fairly known" in text
    assert "reliability 0.41" in text
    assert "Takes heritability 0.35: assumed." in text
    assert "Left out: 1 reading gravid." in text
    assert "Weigh it empty at two years: grown weight to within 9 %, now 22 %" in text
    assert "The curve does not fit" not in text


def test_animal__draws_what_it_says(opened: Client, weighed: dict[str, Animal]) -> None:
    page = opened.get(f"/animals/{weighed['Umber'].pk}/size/").content.decode()
    assert page.count('class="dot"') == 2
    assert page.count('class="dot open"') == 1
    assert "left out: gravid" in page
    assert page.count('class="fanfill"') == 1
    assert 'class="line me descent"' in page, "the expected part is dashed"
    assert re.search(r'aria-label="Heavier than 93 .* Umber at 60 months: [\d,]+ g, in nine cases of ten', page)
    assert "style=" not in page


def test_animal__once_worked_out_is_told_at_once(read: Read, weighed: dict[str, Animal]) -> None:
    read(f"/animals/{weighed['Umber'].pk}/size/")
    text = read(f"/animals/{weighed['Sorrel'].pk}/")
    assert "Against ordinary +30 %" in text
    assert "Comparing all weights" not in text


def test_animal__says_all_at_once_where_asked(read: Read, weighed: dict[str, Animal]) -> None:
    assert "Against ordinary +34 %" in read(f"/animals/{weighed['Umber'].pk}/", all="1")


def test_animal__never_weighed_is_guessed_by_descent(read: Read, weighed: dict[str, Animal]) -> None:
    text = read(f"/animals/{weighed['Sedge'].pk}/size/")
    assert "No weight that counts is on record: his size is guessed by descent alone." in text
    assert "Among ordinary ones" not in text
    assert "Beyond what the lines give: little is known, reliability 0.15." in text


def test_animal__of_unknown_age_counts_from_its_first_weight(
    opened: Client, read: Read, weighed: dict[str, Animal]
) -> None:
    add_measurement(weighed["Mortar"], who="Wren", date="2020-03-02", value=2200, condition="empty")
    address = f"/animals/{weighed['Mortar'].pk}/size/"
    text = read(address)
    assert "His age is not known" in text
    assert "months since the first weight" in text
    assert "bandfill" not in opened.get(address).content.decode(), "nobody of its age to compare with"


def test_animal__whose_curve_does_not_fit_says_so(read: Read, weighed: dict[str, Animal], example: Example) -> None:
    example.misfits = {"22-11": "Her weights run below the curve since May 2025."}
    example.settled = False
    text = read(f"/animals/{weighed['Umber'].pk}/size/")
    assert "The curve does not fit Her weights run below the curve since May 2025." in text
    assert "Take every range here as too narrow." in text


def test_animal__asks_about_slips_of_the_pen(read: Read, weighed: dict[str, Animal], example: Example) -> None:
    example.questions = (question("22-11", "2026-03-02", "3,010 g", "Twice the weight before it.", "301 g"),)
    text = read(f"/animals/{weighed['Umber'].pk}/size/")
    assert "Is it written right? 3,010 g on 2 March 2026: Twice the weight before it. Perhaps 301 g?" in text
    assert "1 reading asked about" in text


def test_animal__shows_how_far_the_work_is(
    read: Read, weighed: dict[str, Animal], monkeypatch: pytest.MonkeyPatch
) -> None:
    job = Job.objects.create(kind="beliefs", state=State.RUNNING, made_at=timezone.now(), progress=41, total=100)
    monkeypatch.setattr(parts, "answers_or_work", lambda *_, **__: Working(job, sizes=True))
    text = read(f"/animals/{weighed['Umber'].pk}/size/")
    assert "How big every animal is is being worked out, 41 %" in text
    assert "above the band: ordinary females" in text, "the plain chart stays"
    for address in ("/animals/biggest/", "/lines/size/Marrowfen/", "/clutches/22-C4/"):
        assert "being worked out, 41 %" in read(address)


def test_biggest__ranks_each_sex_and_says_ties(read: Read, weighed: dict[str, Animal]) -> None:
    text = read("/animals/biggest/")
    females = text[text.index("Females") :]
    assert "The first 2 cannot be told apart: which of them is the biggest is open." in females
    order = [females.index(name) for name in ("Umber 22-11", "Sorrel 22-09", "Thistle 19-01", "Males", "Harrow 20-07")]
    assert order == sorted(order)
    assert "1–2 Umber 22-11" in females
    assert "4 Quill 17-02 −8 %" in females


def test_biggest__leaves_out_who_is_not_here_until_asked(read: Read, weighed: dict[str, Animal]) -> None:
    add_measurement(weighed["Fennel"], who="Wren", date="2026-03-02", value=1200, condition="empty")
    assert "Fennel" not in read("/animals/biggest/")
    assert "Fennel 23-03" in read("/animals/biggest/", who="all")


def test_biggest__of_a_line(read: Read, weighed: dict[str, Animal]) -> None:
    text = read("/animals/biggest/", line="Marrowfen")
    assert "Umber 22-11" in text
    assert "Harrow 20-07" not in text
    assert "None of known age has a weight that counts." in text


def test_biggest__comes_in_pieces_at_the_same_number_of_queries(
    opened: Client, weighed: dict[str, Animal], example: Example
) -> None:
    opened.get("/animals/biggest/")
    with CaptureQueriesContext(connection) as few:
        opened.get("/animals/biggest/")
    for index in range(70):
        one = add_animal(who="Wren", tag=f"X-{index:02d}", sex="male", hatched="2022-07-01")
        add_measurement(one, who="Wren", date="2026-03-02", value=1000 + index, condition="empty")
    opened.get("/animals/biggest/")
    with CaptureQueriesContext(connection) as many:
        page = opened.get("/animals/biggest/").content.decode()
    assert len(many) == len(few)
    assert "1–60 of 71" in page
    assert 'href="?male=2#male"' in page


def test_line__says_whether_it_is_bigger_and_how_sure(read: Read, weighed: dict[str, Animal]) -> None:
    text = read("/lines/size/Marrowfen/")
    assert "whether that is the line, its few founders or its keeping cannot be told." in text
    assert "The line at large +22 % +7 to +39" in text
    assert "These founders +17 %" in text
    assert "Bigger at all 94 %" in text
    assert "Width of the head +3 %" in text
    assert "Founders that count 1" in text
    assert "If they were chosen as the biggest of several, the line is credited with the choice" in text
    assert "12 % of what these weights would tell of the line is left" in text
    assert "Move three half-line young from Room 2 to Room 1." in text
    assert "Room 2 9 60 %" in text


def test_line__tells_the_course_over_years(read: Read, weighed: dict[str, Animal]) -> None:
    text = read("/lines/of/Marrowfen/", all="1")
    assert "Is it bigger" in text
    assert "Weight passed on, by year" in text
    assert "Breeding values rose from year to year." in text
    assert "Keeping the best 1 of 8 males and 1 of 10 females." in text
    assert "Candidates count as unrelated." in text
    assert re.search(r"20\d\d \d+ 50 % \+6 % \+1 to \+11 by descent 20\d\d", text)
    assert "Health and condition decide before size does." in text


def test_line__asks_afterwards(opened: Client, weighed: dict[str, Animal]) -> None:
    assert 'hx-get="/lines/size/Marrowfen/"' in opened.get("/lines/of/Marrowfen/").content.decode()


def test_clutch__compares_its_young(read: Read, weighed: dict[str, Animal]) -> None:
    text = read("/clutches/22-C4/")
    assert "2 young of it on record." in text
    assert "is the likeliest of 2 to be the largest, in 1 in 2 cases. No choice by size is safe yet." in text
    assert (
        "Early weights tell little of grown ones: the forecasts of 2 young may be 20 % too high or 25 % too low" in text
    )
    assert "81 g 61 g +2 %" in text


def test_clutch__has_an_address_by_key_and_links_from_its_young(opened: Client, weighed: dict[str, Animal]) -> None:
    umber = weighed["Umber"]
    assert umber.clutch is not None
    assert opened.get(f"/clutches/{umber.clutch.pk}/").status_code == 200
    assert 'href="/clutches/22-C4/"' in opened.get(f"/animals/{umber.pk}/").content.decode()
    assert opened.get("/clutches/nowhere/").status_code == 404


def test_pair__says_what_the_young_would_weigh(opened: Client, read: Read, weighed: dict[str, Animal]) -> None:
    page = opened.get("/pair/?sire=20-07&dam=22-11").content.decode()
    assert "/pair/size/?sire=20-07&amp;dam=22-11" in page
    for text in (read("/pair/size/", sire="20-07", dam="22-11"), read("/pair/", sire="20-07", dam="22-11", all="1")):
        assert "A daughter, grown 2,150 g" in text
        assert "A son, grown 1,550 g" in text
        assert "All young, on average +20 % +10 to +30" in text


def test_pair__of_typed_genes_has_no_weights(opened: Client, read: Read, weighed: dict[str, Animal]) -> None:
    assert "What the young would weigh" not in read("/pair/", sire="het Clown", dam="22-11")
    assert opened.get("/pair/size/?sire=het+Clown&dam=22-11").status_code == 404


def test_collection__leads_to_the_biggest(opened: Client, weighed: dict[str, Animal]) -> None:
    assert 'href="/animals/biggest/"' in opened.get("/animals/").content.decode()


def test_of_line__gives_odds_and_never_yes_or_no(
    read: Read, weighed: dict[str, Animal], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[str, str, float]] = []

    def of_line(self: Sizes, animal: str, line: str, prior: float = 0.2) -> SimpleNamespace:
        asked.append((animal, line, prior))
        return SimpleNamespace(
            prior=prior, posterior=0.62, likelihood_ratio=3.8, said="Of 100 such animals, 62.", best_correct=0.74,
            auc=0.81, share_mean=0.4, share_sd=0.3, traits=("adult mass",), cautions=("Only 3 founders.",),
        )  # fmt: skip

    monkeypatch.setattr("holdback.answers.size.sizes.Sizes.of_line", of_line)
    address = f"/animals/{weighed['Harrow'].pk}/"
    assert "Its size gives odds, and never a yes or a no." in read(address)
    assert asked == [], "nothing is worked out before it is asked for"
    text = read(address, line="Marrowfen", prior="30 %")
    assert asked == [("20-07", "Marrowfen", 0.3)]
    assert "Of 100 such animals, 62." in text
    assert "Before its size 30 in 100 assumed As you set it below." in text
    assert "With its size 62 in 100 from an assumed start By adult mass" in text
    assert "Right at best 74 in 100" in text
    assert "Share to expect 40 % 0–89 % from an assumed start" in text
    assert "outweighs any weight" in text
    assert "Only 3 founders." in text
    assert "With its size 62 in 100" in read(f"{address}of-line/", line="Marrowfen")


def test_of_line__asks_for_a_chance_that_can_be_read(read: Read, weighed: dict[str, Animal]) -> None:
    for typed in ("often", "0", "100"):
        text = read(f"/animals/{weighed['Harrow'].pk}/of-line/", line="Marrowfen", prior=typed)
        assert f"'{typed}' is no chance in percent." in text


def test_of_line__is_not_asked_where_parents_are_on_record(
    opened: Client, read: Read, weighed: dict[str, Animal]
) -> None:
    assert "Could it be of the line" not in read(f"/animals/{weighed['Umber'].pk}/")
    assert opened.get(f"/animals/{weighed['Umber'].pk}/of-line/?line=Marrowfen").status_code == 404
