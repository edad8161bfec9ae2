"""A clutch on its page: the box, looks, losses, hatchlings, warmth, laying, and the keeper's own rules."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries
from tests.web.pages.conftest import Read, plain

if TYPE_CHECKING:
    from holdback.web.records.models import Animal, Clutch

WHO = "Wren"
TODAY = dt.date(2026, 5, 14)
MASSES = (91, 88, 94, 79, 90, 86, 89, 52)


@pytest.fixture(autouse=True)
def day(monkeypatch: pytest.MonkeyPatch, settings: object, db: None) -> None:
    """The records stand on 14 May 2026."""
    from holdback.web.records.models import Setting

    settings.HOLDBACK_DEMO = True  # type: ignore[attr-defined]  # the fixture of the plugin
    Setting.objects.create(key="day", value=TODAY.isoformat())


@pytest.fixture
def nest(barn: dict[str, Animal]) -> Clutch:
    """Clutch 26-01 of Quill with Harrow: eight eggs, the last a slug, in box 3."""
    from holdback.web.records.services import add_boxes, add_incubator, lay_clutch

    incubator = add_incubator(who=WHO, name="incubator 1", capacity=30)
    (box,) = add_boxes(incubator, ["box 3"], who=WHO, capacity=12)
    return lay_clutch(
        who=WHO,
        dam=barn["Quill"],
        laid="2026-04-02",
        eggs=8,
        slugs={"8"},
        masses=MASSES,
        dam_mass_g=1300,
        box=box,
        sires="20-07",
        tag="26-01",
    )


def posted(client: Client, address: str, **typed: object) -> str:
    """Words of the page after a form was sent, whatever became of it."""
    response = client.post(address, typed, follow=True)
    return plain(response.content.decode())


def to(clutch: Clutch, word: str) -> str:
    return f"/clutches/{clutch.pk}/{word}/"


def test_clutch__box_and_sum(nest: Clutch, read: Read) -> None:
    words = read("/clutches/26-01/")
    assert "Quill 17-02 with Harrow 20-07 · laid 2 April 2026 · day 42" in words
    assert "Seven of eight are not written off; nobody looked at them yet. They hatch between" in words
    assert "incubator 1 / box 3 hinge this side" in words
    assert "Egg 8 52 g slug" in words
    assert "8 laid = 7 waited for + 1 slug." in words
    assert "Close the clutch" not in words


def test_clutch__late_to_hatch_says_when_it_was_expected(nest: Clutch, read: Read) -> None:
    from holdback.web.records.models import Setting

    Setting.objects.filter(key="day").update(value="2026-06-20")
    words = read("/clutches/26-01/")
    assert re.search(r"Hatching was expected by \d June", words)
    assert "They hatch" not in words


def test_clutch__numbers_with_their_basis(nest: Clutch, read: Read) -> None:
    words = read("/clutches/26-01/")
    assert "Clutch 669 g 8 eggs measured" in words
    assert "Eggs 88 g 79–94 measured Mean of 7 eggs weighed that are no slug." in words
    assert re.search(r"Young \d\.\d \d–\d (assumed|measured)", words)
    assert "Eight in ten such clutches lie in the range." in words


def test_clutch__queries_do_not_grow_with_its_eggs(
    nest: Clutch, barn: dict[str, Animal], opened: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    from holdback.web.records.services import lay_clutch

    opened.get("/clutches/26-01/")
    lay_clutch(who=WHO, dam=barn["Umber"], laid="2026-04-20", eggs=14, sires="22-05", tag="26-02", sure=True)
    opened.get("/clutches/26-02/")  # the season is worked out and kept
    counts = []
    for tag in ("26-01", "26-02"):
        with django_assert_max_num_queries(60) as found:
            opened.get(f"/clutches/{tag}/?egg=1")
        counts.append(len(found.captured_queries))
    assert counts[1] <= counts[0]


def test_look__goes_on_to_the_next_egg(nest: Clutch, opened: Client) -> None:
    words = posted(opened, to(nest, "look"), egg="4", state="weak", note="A dent on the upper side")
    assert "Egg 4: weak veins. Undo" in words
    assert "Egg 5 90 g at laying." in words
    assert "egg 4 is weak" in words
    page = plain(opened.get("/clutches/26-01/?egg=4").content.decode())
    assert "Weak veins on 14 May. 14 May: A dent on the upper side." in page


def test_look__nothing_chosen_keeps_the_note(nest: Clutch, opened: Client) -> None:
    response = opened.post(to(nest, "look"), {"egg": "4", "note": "A dent"})
    assert response.status_code == 422
    assert "Nothing is chosen." in plain(response.content.decode())
    assert 'value="A dent"' in response.content.decode()


def test_look__pipped_then_veins_is_asked(nest: Clutch, opened: Client) -> None:
    posted(opened, to(nest, "look"), egg="1", state="pipped", date="2026-05-13")
    words = posted(opened, to(nest, "look"), egg="1", state="veins")
    assert "Egg 1 is on record as pipped on 13 May 2026. Is it with veins on 14 May 2026?" in words
    assert "Yes, keep it" in words
    assert "Egg 1: veins." in posted(opened, to(nest, "look"), egg="1", state="veins", sure="1")


def test_candle__leaves_doubtful_eggs_for_a_look_of_their_own(nest: Clutch, opened: Client) -> None:
    posted(opened, to(nest, "look"), egg="4", state="weak", date="2026-05-02")
    words = posted(opened, to(nest, "candle"))
    assert "Six with veins, 14 May. Egg 4 was doubtful: look at it." in words
    assert "Seven of eight are alive." in words
    assert "Egg 4 79 g weak veins" in words


def test_candle__only_what_was_ticked_has_pipped(nest: Clutch, opened: Client) -> None:
    words = posted(opened, to(nest, "candle"), state="pipped", mark=["2", "3"])
    assert "Two pipped, 14 May." in words
    assert "Nothing was written" in posted(opened, to(nest, "candle"), state="pipped")


def test_candle__is_taken_back_whole(nest: Clutch, opened: Client) -> None:
    from holdback.web.records.models import Change, EggLook

    posted(opened, to(nest, "candle"))
    assert EggLook.objects.count() == 7
    batch = Change.objects.latest("id").batch
    opened.post(f"/undo/{batch}/")
    assert EggLook.objects.count() == 0


def test_lose__with_a_look_inside_counts_the_young(nest: Clutch, opened: Client) -> None:
    words = posted(opened, to(nest, "lost"), egg="6", cause="mould", genes="Clown", lost_on="2026-04-30")
    assert "lost, day 28" in words
    assert "In it was 26-01-6, Clown." in words
    assert "8 laid = 6 waited for + 1 lost + 1 slug." in words


def test_hatch__offers_ids_and_writes_all(nest: Clutch, opened: Client, read: Read) -> None:
    page = opened.get(f"/clutches/{nest.pk}/hatched/").content.decode()
    assert 'value="26-01-7"' in page
    assert 'value="26-01-8"' not in page
    typed: dict[str, object] = {"day": "2026-05-14", "all": "1"}
    for mark in "1234567":
        typed |= {f"{mark}-fate": "waits", f"{mark}-tag": f"26-01-{mark}", f"{mark}-sex": "unknown"}
    typed |= {
        "1-sex": "female",
        "1-method": "popped",
        "1-mass_g": "62,5",
        "1-genes": "Clown",
        "2-defect": "kinked tail",
    }
    words = posted(opened, to(nest, "hatched"), **typed, sure="1")
    assert "7 young on record. Undo" in words
    assert "Seven of eight hatched; every egg is accounted for." in words
    assert "Close the clutch" in words
    from holdback.web.records.models import Animal

    one = Animal.objects.get(tag="26-01-1")
    assert (one.sex, one.genes_text, one.measurements.get().value) == ("female", "Clown", 62.5)


def sheet(**typed: object) -> dict[str, object]:
    """Rows of all seven eggs, still in, with some cells filled."""
    rows: dict[str, object] = {"day": "2026-05-14"}
    for mark in "1234567":
        rows |= {f"{mark}-fate": "waits", f"{mark}-tag": f"26-01-{mark}", f"{mark}-sex": "unknown"}
    return rows | {name.replace("__", "-"): value for name, value in typed.items()}


def test_hatch__taken_id_and_slip_keep_what_was_typed(nest: Clutch, opened: Client) -> None:
    from holdback.web.records.models import Animal

    typed = sheet(**{"1-fate": "out", "1-tag": "22-05", "1-mass_g": "61", "2-fate": "out", "2-mass_g": "six"})
    response = opened.post(to(nest, "hatched"), typed)
    assert response.status_code == 422
    assert "six is no number." in plain(response.content.decode())
    typed["2-mass_g"] = "60"
    response = opened.post(to(nest, "hatched"), typed)
    words, page = plain(response.content.decode()), response.content.decode()
    assert response.status_code == 422
    assert "The id 22-05 belongs to another animal. 22-05b is free." in words
    assert 'value="61"' in page
    assert 'value="60"' in page
    assert not Animal.objects.filter(tag="26-01-2").exists()


def test_hatch__before_laid_stands_at_the_day(nest: Clutch, opened: Client) -> None:
    typed = sheet(**{"3-fate": "out", "3-day": "2026-03-01"})
    response = opened.post(to(nest, "hatched"), typed)
    page = response.content.decode()
    assert response.status_code == 422
    assert "2026-03-01 lies before egg 3 of clutch 26-01 was laid, 2026-04-02." in plain(page)
    assert 'id="row-3-day_error"' in page.replace('id="id_3-day_error"', 'id="row-3-day_error"')


def test_hatch__too_soon_is_asked_and_out_then_veins_refused(nest: Clutch, opened: Client) -> None:
    typed = sheet(**{"3-fate": "out", "5-fate": "lost", "5-cause": "dried out", "5-genes": "normal"})
    words = posted(opened, to(nest, "hatched"), **typed)
    assert "Egg 3 hatched after 42 days" in words
    assert "Yes, keep it" in words
    words = posted(opened, to(nest, "hatched"), **typed, sure="1")
    assert "1 young on record, 1 egg lost." in words
    words = posted(opened, to(nest, "look"), egg="3", state="veins")
    assert "26-01-3 is the young of egg 3" in words


def test_hatch__fourteenth_of_thirteen_has_no_row(barn: dict[str, Animal], opened: Client) -> None:
    from holdback.web.records.services import lay_clutch

    made = lay_clutch(who=WHO, dam=barn["Quill"], laid="2026-03-12", eggs=13, sires="20-07", tag="26-09", sure=True)
    page = opened.get(to(made, "hatched")).content.decode()
    assert 'name="13-fate"' in page
    assert 'name="14-fate"' not in page
    typed = {"day": "2026-05-14", "14-fate": "out", "14-tag": "26-09-14"} | {
        f"{mark}-{name}": value
        for mark in range(1, 14)
        for name, value in (("fate", "waits"), ("tag", f"26-09-{mark}"), ("sex", "unknown"))
    }
    assert "No egg is named. Say which eggs hatched." in posted(opened, to(made, "hatched"), **typed).replace(
        "no egg", "No egg"
    )
    assert made.hatchlings.count() == 0


def test_close__needs_the_sum(nest: Clutch, opened: Client) -> None:
    words = posted(opened, to(nest, "close"))
    assert "7 not accounted for: say what became of each." in words
    posted(opened, to(nest, "hatched"), **sheet(all="1"), sure="1")
    assert "Closed 14 May 2026." in posted(opened, to(nest, "close"))
    assert "is open again" in posted(opened, to(nest, "close"))


def test_warmth__three_hundred_and_ten_is_asked_back(nest: Clutch, opened: Client) -> None:
    place = str(nest.egg_records.first().box_id)  # type: ignore[union-attr]  # the fixture laid eggs
    words = posted(opened, to(nest, "warmth"), place=place, value="310", unit="C")
    assert "was 31 °C meant?" in words
    assert "the warmth is kept" in posted(opened, to(nest, "warmth"), place=place, value="31,2", unit="C")
    for day, value in (("2026-04-12", "34.1"), ("2026-04-20", "31.3")):
        posted(opened, to(nest, "warmth"), place=place, value=value, unit="C", date=day, sure="1")
    words = plain(opened.get("/clutches/26-01/").content.decode())
    assert "Steady but for one warm day, 34.1 °C on day 10." in words
    assert "Warmth so far 32.2 °C" in words


def test_logger__table_says_what_it_read(nest: Clutch, opened: Client) -> None:
    place = str(nest.egg_records.first().box_id)  # type: ignore[union-attr]  # the fixture laid eggs
    table = "time,temp C\n2026-05-01 08:00,31.2\n2026-05-02 08:00,31.4\nrubbish\n"
    words = posted(opened, to(nest, "logger"), logger_place=place, text=table)
    assert "box 3: 2 readings in °C written; 1 line left out" in words
    again = posted(opened, to(nest, "logger"), logger_place=place, text=table)
    assert "0 readings in °C written; 2 were on record" in again
    assert "was nothing read" not in again
    bad = posted(opened, to(nest, "logger"), logger_place=place, text="nothing here")
    assert "nothing here" in bad


def test_aside__with_its_reason(nest: Clutch, opened: Client) -> None:
    words = posted(opened, to(nest, "aside"), reason="A night at 26 degrees")
    assert "It stays out of size, loss and defect counts: A night at 26 degrees." in words
    assert "It counts." in posted(opened, to(nest, "aside"), reason="")


def test_put__into_another_box_splits_the_clutch(nest: Clutch, opened: Client) -> None:
    from holdback.web.records.models import Place
    from holdback.web.records.services import add_boxes

    (other,) = add_boxes(Place.objects.get(name="incubator 1"), ["box 4"], who=WHO, capacity=1)
    words = posted(opened, to(nest, "box"), mark=["1", "2"], place=str(other.pk))
    assert "2 eggs in incubator 1 / box 4." in words
    assert "box 4 holds 2 eggs and has room for 1." in words
    assert "incubator 1 / box 4 hinge this side" in words
    assert "incubator 1 / box 3 hinge this side" in words


def test_lay__one_form(barn: dict[str, Animal], opened: Client) -> None:
    from holdback.web.records.services import add_mating

    add_mating(who=WHO, dam=barn["Quill"], sire=barn["Harrow"], together="2025-11-20", apart="2026-01-10")
    page = plain(opened.get("/clutches/new/?dam=17-02&sire=20-07").content.decode())
    assert "Quill laid" in page
    assert "It becomes clutch 26-01." in page
    assert "By her matings: 20-07" in page
    typed = {"dam": "17-02", "laid": "2026-05-13", "eggs": "4", "slugs": "3 and 4", "masses": "91 88,5 - 50"}
    words = posted(opened, "/clutches/new/", **typed, clutch_mass_g="", dam_mass_g="1310")
    assert "Clutch 26-01: 4 eggs." in words
    assert "Egg 2 88.5 g not looked at" in words
    assert "Egg 3 slug" in words
    assert "4 laid = 2 waited for + 2 slugs." in words
    assert "Harrow 20-07" in words


def test_lay__slips_are_told_at_the_field(barn: dict[str, Animal], opened: Client) -> None:
    typed = {"dam": "20-07", "laid": "2027-01-01", "eggs": "4", "slugs": "9", "masses": "91 x y"}
    response = opened.post("/clutches/new/", typed)
    assert response.status_code == 422
    assert "y is no number." in plain(response.content.decode())
    words = posted(opened, "/clutches/new/", **(typed | {"masses": ""}))
    assert "2027-01-01 has not come yet." in words
    assert "20-07 is recorded as male." in words
    assert "Egg '9' cannot be a slug of a clutch of 4." in words


def test_lay__taken_back_leads_to_the_list(barn: dict[str, Animal], opened: Client) -> None:
    from holdback.web.records.models import Change, Clutch

    posted(opened, "/clutches/new/", dam="17-02", laid="2026-05-13", eggs="4")
    assert Clutch.objects.filter(tag="26-01", removed_at=None).exists()
    batch = Change.objects.latest("id").batch
    response = opened.post(f"/undo/{batch}/", HTTP_REFERER="http://testserver/clutches/26-01/?egg=1")
    assert response["Location"] == "/clutches/"


def test_clutch__hatched_long_ago_is_not_drawn(barn: dict[str, Animal], read: Read) -> None:
    words = read("/clutches/22-C4/")
    assert "2 young of it on record." in words
    assert "It hatched before its eggs were written down one by one" in words
    assert "6 laid = 4 not accounted for + 2 hatched." in words


def test_clutch__of_which_little_is_known(barn: dict[str, Animal], opened: Client) -> None:
    from holdback.web.records.services import add_clutch

    add_clutch(who=WHO, tag="odd/1 ?")
    add_clutch(who=WHO, tag="20-X", laid="2020", eggs=5)
    words = plain(opened.get("/clutches/odd%2F1%20%3F/?all=1").content.decode())
    assert "dam not known, sire not known · laying date not known" in words
    assert "Nobody counted the eggs." in words
    assert "Nothing can be foretold: a parent is not on record." in words
    words = plain(opened.get("/clutches/20-X/?egg=2").content.decode())
    assert "laid 2020" in words
    assert "Egg 2 Not weighed." in words


def test_clutch__of_another_species(opened: Client) -> None:
    from holdback.web.records.services import add_animal, lay_clutch

    corn = add_animal(who=WHO, tag="C-1", sex="female", species="pantherophis_guttatus", hatched="2021")
    lay_clutch(who=WHO, dam=corn, laid="2026-05-01", eggs=12, tag="C-26")
    words = plain(opened.get("/clutches/C-26/?all=1").content.decode())
    assert "Twelve of twelve are not written off" in words


def test_clutch__closed_takes_no_deed(nest: Clutch, opened: Client) -> None:
    posted(opened, to(nest, "hatched"), **sheet(all="1"), sure="1")
    posted(opened, to(nest, "close"))
    assert "The clutch is closed." in plain(opened.get(to(nest, "hatched")).content.decode())
    words = posted(opened, to(nest, "candle"))
    assert "Nothing was written" in words
    words = posted(opened, to(nest, "lost"), egg="8", cause="dry")
    assert "was closed 2026-05-14" in words


def test_clutch__addresses_that_do_not_exist(nest: Clutch, opened: Client) -> None:
    key = "00000000-0000-0000-0000-000000000000"
    for address in ("/clutches/nothing/", f"/clutches/{key}/", f"/clutches/{key}/hatched/", f"/clutches/{key}/change/"):
        assert opened.get(address).status_code == 404
    assert opened.get(to(nest, "look")).status_code == 405
    assert opened.get("/clutches/26-01/?egg=99").status_code == 200
    assert "has no egg '99'" in posted(opened, to(nest, "look"), egg="99", state="veins")
    assert opened.post(to(nest, "weigh"), {"egg": "99", "mass_g": "90"}).status_code == 404


def test_clutches__by_season(nest: Clutch, read: Read) -> None:
    words = read("/clutches/")
    assert words.index("Season 2026") < words.index("Season 2022")
    assert "26-01 Quill 17-02 Harrow 20-07 2 April 2026 8 1 0 in the box" in words


def test_rules__set_with_an_example(opened: Client) -> None:
    page = plain(opened.get("/rules/").content.decode())
    assert "The third clutch of 2026 is 26-03; the young of its egg 5 is 26-03-5." in page
    tried = opened.get("/rules/tried/", {"clutch_pattern": "W{yyyy}.{n}", "hatchling_pattern": "{clutch}{egg}"})
    assert tried.content.decode() == "The third clutch of 2026 is W2026.3; the young of its egg 5 is W2026.35."
    assert "would give every one the same id" in opened.get("/rules/tried/", {"clutch_pattern": "W"}).content.decode()
    words = posted(opened, "/rules/", **rules(candle_days="10 20", meals_before_sale="5"))
    assert "Your rules are kept." in words
    from holdback.web.records.own_rules import own_rules

    assert (own_rules().candle_days, own_rules().meals_before_sale) == ((10, 20), 5)


def test_rules__nothing_half_kept(opened: Client) -> None:
    from holdback.web.records.own_rules import own_rules

    words = posted(opened, "/rules/", **rules(meals_before_sale="5", clutch_pattern="W", warm_low_c="99"))
    assert "'W' would give every one the same id. Put in a number" in words
    assert "'99' cannot be." in words
    assert own_rules().meals_before_sale == 3


def rules(**changed: str) -> dict[str, str]:
    from holdback.web.pages.rules.forms import as_typed
    from holdback.web.records.own_rules import own_rules

    return as_typed(own_rules()) | changed


def test_rules__incubator_and_boxes(opened: Client) -> None:
    assert "incubator 1 is there." in posted(opened, "/rules/incubators/", name="incubator 1", capacity="40")
    from holdback.web.records.models import Place

    key = str(Place.objects.get().pk)
    words = posted(opened, "/rules/boxes/", incubator=key, boxes="box 1, box 2", each="12")
    assert "box 1 and box 2 in incubator 1." in words
    assert "incubator 1 / box 2 12" in words
    assert "box 1" in posted(opened, "/rules/boxes/", incubator=key, boxes="box 1", each="")


def test_change__corrects_the_clutch_and_keeps_its_sires(nest: Clutch, opened: Client) -> None:
    typed = {"tag": "26-01", "dam": "17-02", "sires": "20-07", "laid": "2026-04-03", "eggs": "9", "slugs": "1"}
    assert "laid 3 April 2026 · day 41" in posted(opened, to(nest, "change"), **typed)
    words = posted(opened, to(nest, "change"), **(typed | {"laid": "3 April", "slugs": "12"}))
    assert "Correct the clutch" in words
    assert "'3 April'" in words


def test_weigh__mends_the_mass_of_one_egg(nest: Clutch, opened: Client) -> None:
    assert "Egg 4: 97.5 g. Undo" in posted(opened, to(nest, "weigh"), egg="4", mass_g="97,5")
    words = posted(opened, to(nest, "weigh"), egg="4", mass_g="-3")
    assert "-3 cannot be. Write grams above 0" in words
    assert "Egg 4 97.5 g" in words


def test_foretold__before_hatching_and_after(nest: Clutch, opened: Client) -> None:
    words = plain(opened.get("/clutches/26-01/?all=1").content.decode())
    assert "Per fertile egg, by all records of both parents." in words
    assert "after hatching" in words
    posted(opened, to(nest, "hatched"), **sheet(**{"1-fate": "out", "1-genes": "Pastel Clown"}), sure="1")
    words = plain(opened.get(f"/clutches/{nest.pk}/foretold/").content.decode())
    assert "1 young of which the look is on record." in words
    assert "Gene by gene" in words


def test_look__by_htmx_draws_the_box_alone(
    nest: Clutch, opened: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    hx = {"hx-request": "true"}
    with django_assert_max_num_queries(60):
        response = opened.post(to(nest, "look"), {"egg": "1", "state": "weak"}, headers=hx)
    words = plain(response.content.decode())
    assert response.status_code == 200
    assert response["HX-Push-Url"] == "/clutches/26-01/?egg=2"
    assert response["HX-Trigger"] == "looked"
    assert "Egg 1: weak veins. Undo" in words
    assert "Egg 2 88 g at laying." in words
    assert "In numbers" not in words
    part = plain(opened.get(to(nest, "numbers"), headers=hx).content.decode())
    assert "egg 1 is weak" in part
    assert "Clutch 669 g" in part
    asked = opened.post(to(nest, "look"), {"egg": "1", "note": "a dent"}, headers=hx)
    assert "Nothing is chosen." in plain(asked.content.decode())
