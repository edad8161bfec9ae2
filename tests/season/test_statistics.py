"""Statistics over a small invented collection, counted by hand."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.season.dam_clutches import t_quantile
from holdback.season.hatch_records import IN_THE_BOX, KEPT_ONLY, NOT_COUNTED, NOT_WRITTEN, SET_ASIDE
from holdback.season.outlook import Rate
from holdback.season.ratio import Part
from holdback.season.statistics import Statistics, statistics
from holdback.species.catalogue import load

TODAY = dt.date(2026, 5, 14)

ANIMALS: list[dict[str, Any]] = [
    {"id": "D1", "sex": "female", "hatched": "2018-07-01"},
    {"id": "D2", "sex": "female", "hatched": "2018-07-01"},
    {"id": "S1", "sex": "male", "hatched": "2019-07-01"},
    {"id": "S2", "sex": "male", "hatched": "2019-07-01"},
]


def eggs_of(clutch: str, outcomes: str, *, box: str = "", **more: Any) -> list[dict[str, Any]]:
    """Eggs by letters: h hatched, d died, s slug, u unknown."""
    words = {"h": "hatched", "d": "died", "s": "slug", "u": ""}
    return [
        {"clutch": clutch, "egg": str(place), "outcome": words[letter], "box": box, **more}
        for place, letter in enumerate(outcomes, 1)
    ]


def clutch(name: str, laid: str = "2024-05-01", **more: Any) -> dict[str, Any]:
    return {"id": name, "dam": "D1", "sires": "S1", "laid": laid, **more}


def of(*, today: dt.date = TODAY, looks: Any = None, **tables: list[dict[str, Any]]) -> Statistics:
    frames = {"animals": ANIMALS, **tables}
    return statistics(Collection.from_frames(frames), catalogue=load(), today=today, looks=looks)


def counts(found: tuple[Rate, ...]) -> dict[str, tuple[int, int]]:
    return {one.group: (one.n, one.k) for one in found}


def test_statistics__empty_collection() -> None:
    found = of()
    assert found.hatched.whole is None
    assert found.hatched.by_dam == ()
    assert found.sexes.n == 0
    assert found.males == ()
    assert found.dams.mass_share is None
    assert found.notes == ()


def test_statistics__counts_by_dam_sire_and_year() -> None:
    found = of(
        clutches=[
            clutch("a", eggs=6, slugs=1),
            clutch("b", dam="D2", sires="S2", laid="2025-05-02", eggs=5, slugs=0),
        ],
        eggs=[*eggs_of("a", "hhhhds"), *eggs_of("b", "hhhhh")],
    )
    assert counts(found.hatched.by_dam) == {"D1": (6, 4), "D2": (5, 5)}
    assert counts(found.hatched.by_sire) == {"S1": (6, 4), "S2": (5, 5)}
    assert counts(found.hatched.by_year) == {"2024": (6, 4), "2025": (5, 5)}
    assert counts(found.slugs.by_dam) == {"D1": (6, 1), "D2": (5, 0)}
    assert counts(found.lost.by_dam) == {"D1": (5, 1), "D2": (5, 0)}
    assert found.hatched.whole is not None
    assert (found.hatched.whole.n, found.hatched.whole.k) == (11, 9)


def test_statistics__autumn_laying_is_of_the_season_to_come() -> None:
    found = of(clutches=[clutch("a", laid="2023-11-20", eggs=2)], eggs=eggs_of("a", "hh"))
    assert counts(found.hatched.by_year) == {"2024": (2, 2)}


def test_statistics__slugs_tallied_without_eggs_of_their_own() -> None:
    found = of(clutches=[clutch("a", eggs=6, slugs=2)], eggs=eggs_of("a", "hhhd"))
    assert counts(found.hatched.by_dam) == {"D1": (6, 3)}
    assert counts(found.slugs.by_dam) == {"D1": (6, 2)}


def test_statistics__by_incubator_is_the_first_part_of_the_place() -> None:
    found = of(
        clutches=[clutch("a", eggs=6), clutch("b", eggs=3)],
        eggs=[
            *eggs_of("a", "hhd", box="incubator 1 / box 3"),
            *({**egg, "egg": f"x{egg['egg']}"} for egg in eggs_of("a", "hhs", box="incubator 2")),
            *eggs_of("b", "huu", box="incubator 1"),
        ],
    )
    assert counts(found.hatched.by_incubator) == {"incubator 1": (3, 2), "incubator 2": (3, 2)}
    assert counts(found.lost.by_incubator) == {"incubator 1": (3, 1), "incubator 2": (2, 0)}
    assert found.slugs.by_incubator == ()


def test_statistics__doubtful_sires_count_by_their_weight() -> None:
    found = of(clutches=[clutch("a", sires="S1:0.7|S2:0.3", eggs=4)], eggs=eggs_of("a", "hhdd"))
    assert counts(found.hatched.by_sire) == {"S1": (4, 2), "S2": (0, 0)}
    assert [(one.sire, one.clutches) for one in found.males] == [("S1", 0.7), ("S2", 0.3)]
    assert "A clutch that may be of several males counts for each by its weight." in found.notes


def test_statistics__leaves_out_and_tells() -> None:
    found = of(
        clutches=[
            clutch("aside", eggs=6, set_aside="spike of heat"),
            clutch("untold"),
            clutch("boxed", laid="2026-04-20", eggs=6, slugs=1),
            clutch("unwritten", eggs=6),
            clutch("kept", laid="2023-05-01", eggs=6, slugs=0, hatched="2023-06-29"),
            clutch("counted", laid="2022-05-01", eggs=2),
        ],
        animals=[*ANIMALS, {"id": "K", "clutch": "kept", "sex": "female"}],
        eggs=[*eggs_of("aside", "dddddd"), *eggs_of("unwritten", "hhuuuu"), *eggs_of("counted", "hd")],
    )
    assert found.left_out(SET_ASIDE) == ("aside",)
    assert found.left_out(NOT_COUNTED) == ("untold",)
    assert found.left_out(IN_THE_BOX) == ("boxed",)
    assert found.left_out(NOT_WRITTEN) == ("unwritten",)
    assert found.left_out(KEPT_ONLY) == ("kept",)
    assert counts(found.hatched.by_dam) == {"D1": (2, 1)}
    assert counts(found.slugs.by_year) == {"2026": (6, 1), "2023": (6, 0), "2022": (2, 0)}
    assert any("those of the kept, not of the clutch" in note for note in found.notes)
    assert any("1 clutch set aside" in note for note in found.notes)
    assert len(found.notes) == 5


def test_statistics__clutch_laid_later_is_not_there_yet() -> None:
    found = of(clutches=[clutch("a", eggs=2)], eggs=eggs_of("a", "hh"), today=dt.date(2024, 4, 30))
    assert found.records == ()


def test_statistics__losses_with_causes_and_days() -> None:
    eggs = eggs_of("a", "hhhddd")
    eggs[3] |= {"cause": "mould", "ended": "2024-05-21"}
    eggs[4] |= {"cause": "mould", "ended": "2024-06"}
    found = of(clutches=[clutch("a", eggs=6)], eggs=eggs)
    assert found.causes == {"mould": 2, "": 1}
    assert [(one.cause, one.days) for one in found.losses] == [("mould", 20), ("mould", None), ("", None)]


def test_statistics__males_by_season() -> None:
    found = of(
        clutches=[clutch("a", laid="2026-05-01", eggs=6, slugs=3)],
        matings=[
            {"dam": "D1", "sire": "S1", "together": "2025-11-03", "apart": "2025-11-05", "locks": 2},
            {"dam": "D1", "sire": "S1", "together": "2026-01-03", "apart": "2026-01-05", "locks": 1},
            {"dam": "D2", "sire": "S1", "together": "2026-02-03", "apart": "2026-02-05", "locks": 0},
            {"dam": "D2", "sire": "S2", "together": "2025-02-03", "apart": "2025-02-05", "locks": 1},
        ],
        measurements=[
            {"animal": "S1", "date": "2025-10-05", "trait": "mass", "value": 1000, "unit": "g", "condition": "empty"},
            {"animal": "S1", "date": "2026-03-05", "trait": "mass", "value": 900, "unit": "g", "condition": "empty"},
        ],
    )
    first, last = found.males
    assert (first.sire, first.season, first.females, first.matings, first.locks, first.clutches) == (
        "S1",
        2026,
        2,
        3,
        3,
        1.0,
    )
    assert first.mass_change is not None
    assert first.mass_change.mean == pytest.approx(-10.0)
    assert first.slugs is not None
    assert (first.slugs.n, first.slugs.k) == (6, 3)
    assert (last.sire, last.season, last.locks, last.slugs) == ("S2", 2025, 1, None)


def test_statistics__pairing_to_laying() -> None:
    found = of(
        clutches=[clutch("a", laid="2025-05-02", eggs=6)],
        matings=[{"dam": "D1", "sire": "S1", "together": "2024-12-03", "apart": "2024-12-05", "locks": 1}],
    )
    assert [one.days for one in found.pairing_to_laying] == [150]


def test_statistics__sexes_leave_out_young_without_a_sire() -> None:
    young = [
        {"id": f"{nest}{place}", "clutch": nest, "sex": sex}
        for nest, sexes in (("a", ["male", "male", "female", ""]), ("p", ["female"] * 3))
        for place, sex in enumerate(sexes)
    ]
    found = of(animals=[*ANIMALS, *young], clutches=[clutch("a", eggs=4), clutch("p", sires="none", eggs=3)])
    assert [(one.look, one.came) for one in found.sexes.looks] == [("males", 2), ("females", 1)]


def test_statistics__looks_are_pooled_over_clutches() -> None:
    parts = {
        "a": {"Pastel": Part.sure(6, 6, 0.5)},
        "b": {"Pastel": Part.sure(4, 3, 0.5), "Clown": Part.sure(4, 1, 0.25)},
    }
    found = of(clutches=[clutch("a"), clutch("b"), clutch("c", set_aside="fan failed")], looks=lambda name: parts[name])
    assert list(found.looks) == ["Pastel", "Clown"]
    assert found.looks["Pastel"].p_value == pytest.approx(22 / 1024)
    assert found.looks["Pastel"].looks[0].look == "Pastel"


def _fed(**last_meal: Any) -> Statistics:
    meals = [
        {"animal": "S1", "date": f"2025-0{month}-10", "kind": "meal", "value": 50, "unit": "g", "note": ""}
        for month in (2, 3, 4, 5)
    ]
    return of(
        measurements=[
            {"animal": "S1", "date": day, "trait": "mass", "value": mass, "unit": "g", "condition": "empty"}
            for day, mass in (("2025-01-20", 800), ("2025-06-10", 850))
        ],
        events=[
            *meals,
            {**meals[0], "date": "2025-05-20", "note": "refused"},
            {**meals[0], "date": "2025-06-10"},
            {**meals[0], "date": "2025-05-25", **last_meal},
        ],
    )


def test_statistics__gain_by_prey() -> None:
    """250 g of prey between the two weights; the refused one and that of the last day are not in her."""
    (row,) = _fed().feeding.rows
    assert (row.animal, row.year, row.gain_g, row.prey_g, row.meals) == ("S1", 2025, 50, 250, 5)
    assert row.gain_per_prey == pytest.approx(0.2)


def test_statistics__gain_by_prey_wants_the_mass_of_every_meal() -> None:
    found = _fed(value="", unit="")
    assert found.feeding.rows == ()
    assert found.feeding.without_mass == 1
    assert any("Gain by prey is left out" in note for note in found.notes)


def test_statistics__clutch_beside_dam() -> None:
    found = of(
        clutches=[clutch("a", eggs=4), clutch("b", dam="D2", eggs=6), clutch("c", dam="D2", laid="2025-05-01", eggs=7)],
        eggs=[*eggs_of("a", "hhhh", mass_g=80), *eggs_of("b", "hhhhhh", mass_g=100), *eggs_of("c", "hh", mass_g=90)],
        measurements=[
            {"animal": dam, "date": "2024-04-20", "trait": "mass", "value": mass, "unit": "g", "condition": "gravid"}
            for dam, mass in (("D1", 1000), ("D2", 1500))
        ],
    )
    assert [(row.clutch_g, row.before_g) for row in found.dams.rows] == [(320, 1000), (600, 1500), (None, None)]
    share = found.dams.mass_share
    assert share is not None
    assert share.mean == pytest.approx((32 + 40) / 2)
    # by hand: t at 0.95 with one degree of freedom is 6.314 (table, from memory); spread of 32 and 40 is 5.657
    assert share.high - share.mean == pytest.approx(6.3138 * 5.65685 / 2**0.5, rel=1e-4)
    assert found.dams.eggs is not None
    assert found.dams.eggs.mean == pytest.approx((4 + 6.5) / 2)
    assert found.dams.eggs_per_100_g is None


def test_statistics__eggs_by_mass_of_the_dam() -> None:
    """Five dams on a line: one egg more for every 250 g."""
    dams = [{"id": f"F{place}", "sex": "female", "hatched": "2015-07-01"} for place in range(5)]
    found = of(
        animals=[*ANIMALS, *dams],
        clutches=[clutch(f"c{place}", dam=f"F{place}", laid="2025-05-01", eggs=5 + place) for place in range(5)],
        measurements=[
            {"animal": f"F{place}", "date": "2024-09-01", "trait": "mass", "value": 1500 + 250 * place, "unit": "g"}
            for place in range(5)
        ],
    )
    assert found.dams.eggs_per_100_g is not None
    assert found.dams.eggs_per_100_g.mean == pytest.approx(0.4)


def test_statistics__usual_values_come_from_the_species_file() -> None:
    assert of().usual["clutch_mass_share"].value == 0.32
    snake = Collection.from_frames({"animals": ANIMALS}, species="pantherophis_guttatus")
    found = statistics(snake, catalogue=load("pantherophis_guttatus"), today=TODAY)
    assert "clutch_mass_share" not in found.usual


def test_t_quantile__of_the_normal_limit() -> None:
    assert t_quantile(0.95, 1e6) == pytest.approx(1.644855, abs=1e-4)
