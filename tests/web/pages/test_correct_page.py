"""Correct an animal: nothing is written before what would follow was seen; it is the same that followed."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from django.test import Client
from tests.web.pages.conftest import Read, plain

from holdback.web.jobs.models import Job
from holdback.web.pages.correct import views, working
from holdback.web.records.models import Animal, Change, Mating
from holdback.web.records.services import add_mating


@pytest.fixture
def tansy(barn: dict[str, Animal]) -> Animal:
    return barn["Tansy"]


def address(animal: Animal, what: str) -> str:
    return f"/animals/{animal.pk}/correct/{what}/"


SIRE = {"dam": "22-11", "sires": "16-01", "clutch": ""}


def test_parents__show_what_would_follow_and_write_nothing(opened: Client, tansy: Animal) -> None:
    n_rows = Change.objects.count()
    response = opened.post(address(tansy, "parents"), {**SIRE, "step": "look"})
    text = plain(response.content.decode())
    assert response.status_code == 200
    assert "Something else is said of 3 animals. 1 new doubt." in text
    # Umber's sire Mortar is all Marrowfen, so she is three quarters by her dam's half; Tansy had half of that.
    assert "Tansy 24-02 Marrowfen 38 % 88 %" in text
    assert "Tansy 24-02 Enchi nothing to tell at least one copy" in text
    assert "Correct it" in text
    assert Change.objects.count() == n_rows


def test_parents__do_what_was_shown_and_show_it_again_with_the_way_back(opened: Client, tansy: Animal) -> None:
    before = [row.sire.tag for row in tansy.candidate_sires.all() if row.sire]
    shown = plain(opened.post(address(tansy, "parents"), {**SIRE, "step": "look"}).content.decode())
    page = opened.post(address(tansy, "parents"), {**SIRE, "step": "do"}, follow=True)
    text = plain(page.content.decode())
    assert "The parents are corrected." in text
    (said,) = re.findall(r"Something else is said of [^.]*\.", shown)
    assert said in text
    assert [row.sire.tag for row in tansy.candidate_sires.all() if row.sire] == ["16-01"]
    batch = page.redirect_chain[0][0].rstrip("/").rpartition("/")[2]
    opened.post(f"/undo/{batch}/")
    assert [row.sire.tag for row in tansy.candidate_sires.all() if row.sire] == before
    assert "It was taken back since." in plain(opened.get(f"/corrections/{batch}/").content.decode())


def test_parents__changed_after_the_look_are_looked_at_anew(opened: Client, tansy: Animal) -> None:
    opened.post(address(tansy, "parents"), {**SIRE, "step": "look"})
    response = opened.post(address(tansy, "parents"), {**SIRE, "sires": "20-07", "step": "do"})
    assert response.status_code == 200, "shown, not done"
    assert [row.sire.tag for row in tansy.candidate_sires.all() if row.sire] == ["22-05", "20-07"]


def test_parents__are_looked_at_anew_where_the_records_changed_meanwhile(
    opened: Client, barn: dict[str, Animal], tansy: Animal
) -> None:
    opened.post(address(tansy, "parents"), {**SIRE, "step": "look"})
    add_mating(who="test", dam=barn["Umber"], sire=barn["Harrow"], together="2023-11")
    assert opened.post(address(tansy, "parents"), {**SIRE, "step": "do"}).status_code == 200


def test_parents__that_cannot_be_are_refused_at_their_field(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post(address(barn["Quill"], "parents"), {"dam": "22-11", "step": "look"})
    assert response.status_code == 422
    assert 'value="22-11"' in response.content.decode()
    response = opened.post(address(barn["Quill"], "parents"), {"dam": "99-99", "step": "look"})
    assert "No animal has the id" in response.content.decode()


def test_sex__names_the_matings_that_go(opened: Client, barn: dict[str, Animal]) -> None:
    add_mating(who="test", dam=barn["Sorrel"], sire=barn["Sedge"], together="2025-12-01")
    said = {"sex": "female", "method": "probed", "on": "2026-01-10"}
    text = plain(opened.post(address(barn["Sedge"], "sex"), {**said, "step": "look"}).content.decode())
    assert "25-01 with 22-09, 1 December 2025." in text
    assert Mating.objects.count() == 1
    opened.post(address(barn["Sedge"], "sex"), {**said, "step": "do"})
    assert not Mating.objects.exists()
    sedge = Animal.objects.get(pk=barn["Sedge"].pk)
    assert sedge.sex == "female"
    finding = sedge.sex_determinations.latest("date")
    assert (finding.method, finding.date) == ("probed", "2026-01-10")


def test_sex__of_a_sire_is_refused(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post(address(barn["Harrow"], "sex"), {"sex": "female", "method": "", "on": "", "step": "look"})
    assert response.status_code == 422
    assert Animal.objects.get(pk=barn["Harrow"].pk).sex == "male"


def test_id__goes_along_and_one_in_use_is_refused(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post(address(barn["Umber"], "id"), {"tag": "22-09", "step": "look"})
    assert response.status_code == 422
    assert "belongs to another living animal" in response.content.decode()
    text = plain(opened.post(address(barn["Umber"], "id"), {"tag": "22-12", "step": "look"}).content.decode())
    assert "Nothing else is said otherwise." in text
    opened.post(address(barn["Umber"], "id"), {"tag": "22-12", "step": "do"})
    assert Animal.objects.get(pk=barn["Umber"].pk).tag == "22-12"


def test_large_family__is_worked_out_by_a_job(opened: Client, tansy: Animal, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(views, "look", lambda key, what, said: working.look(key, what, said, most=1))
    begun: list[Job] = []

    def begin(animal: object, what: str, said: dict[str, str], *, records: str) -> Job:
        job = Job.objects.create(
            kind=working.FORESEEN,
            inputs={"animal": str(animal), "what": what, "said": said, "records": records},
            made_at=dt.datetime.now(tz=dt.UTC),
        )
        begun.append(job)
        return job

    monkeypatch.setattr(views, "begin", begin)
    page = opened.post(address(tansy, "parents"), {**SIRE, "step": "look"}, follow=True)
    assert "is being worked out" in plain(page.content.decode())
    (job,) = begun
    job.result = working.work_out_foreseen(lambda *_: None, job.inputs)  # type: ignore[arg-type]  # a quiet reporter
    job.state = "done"
    job.save()
    text = plain(opened.get(f"{address(tansy, 'parents')}?job={job.pk}").content.decode())
    assert "Something else is said of 3 animals." in text
    opened.post(address(tansy, "parents"), {**SIRE, "step": "do"})
    assert [row.sire.tag for row in tansy.candidate_sires.all() if row.sire] == ["16-01"]


def test_correction__of_nothing_known_is_not_found(read: Read, opened: Client, tansy: Animal) -> None:
    assert opened.get(address(tansy, "colour")).status_code == 404
    assert opened.get(f"/corrections/{tansy.pk}/").status_code == 404
    assert "Which sex it is" in read(address(tansy, "sex"))
