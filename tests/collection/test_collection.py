"""The collection as a whole: what goes in comes out, whatever its order."""

from __future__ import annotations

import datetime as dt
import random
from dataclasses import FrozenInstanceError, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.collection.strategies import records

from holdback.collection import Collection as FromPackage
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Candidate, Measurement, PartialDate, Records, Sex, Trait
from holdback.errors import CollectionError


@given(records())
def test_to_folder__reading_it_again_is_identity(some: Records) -> None:
    before = Collection.from_records(some)
    with TemporaryDirectory() as folder:
        before.to_folder(folder)
        after = Collection.from_folder(folder)
    assert after.records == before.records == some
    assert after.digest == before.digest


@settings(max_examples=40)
@given(records(), st.randoms(use_true_random=False))
def test_digest__order_of_rows_changes_nothing(some: Records, chance: random.Random) -> None:
    turned = {name: tuple(chance.sample(rows, len(rows))) for name, rows in vars(some).items()}
    assert Collection.from_records(Records(**turned)).digest == Collection.from_records(some).digest


@settings(max_examples=40)
@given(records(), st.data())
def test_digest__any_change_shows(some: Records, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(some.animals) - 1))
    changed = replace(some.animals[index], notes=some.animals[index].notes + "x")
    animals = (*some.animals[:index], changed, *some.animals[index + 1 :])
    assert Collection.from_records(replace(some, animals=animals)).digest != Collection.from_records(some).digest


def test_digest__species_counts() -> None:
    assert Collection(Records()).digest != Collection(Records(), "pantherophis_guttatus").digest


def test_digest__order_of_candidates_changes_nothing() -> None:
    males = (Animal("A"), Animal("B"))
    young = Animal("C", sires=(Candidate("A", 0.8), Candidate("B", 0.2)))
    turned = replace(young, sires=young.sires[::-1])
    first, second = (Collection.from_records(Records(animals=(*males, one))) for one in (young, turned))
    assert first.digest == second.digest


def test_species__travels_with_the_folder(tmp_path: Path) -> None:
    Collection.from_records(Records(), species="pantherophis_guttatus").to_folder(tmp_path)
    assert Collection.from_folder(tmp_path).species == "pantherophis_guttatus"


def test_from_records__spaces_around_free_texts_do_not_count() -> None:
    assert Collection.from_records(Records(animals=(Animal("A", name=" Umber "),))).animals["A"].name == "Umber"


def test_from_frames__takes_rows_and_columns_and_typed_values() -> None:
    rows = Collection.from_frames(
        {
            "animals": [{"id": "A", "sex": Sex.FEMALE, "hatched": dt.date(2022, 7, 18)}, {"id": "B", "dam": "A"}],
            "measurements": {
                "animal": ["A"],
                "date": [dt.datetime(2026, 3, 2, 9, 30)],  # noqa: DTZ001  a spreadsheet's cells have no zone
                "trait": ["mass"],
                "value": [3010.0],
                "unit": ["g"],
                "condition": [float("nan")],
            },
        }
    )
    assert rows.animals["A"].hatched == PartialDate(2022, 7, 18)
    assert rows.animals["B"].sex is Sex.UNKNOWN
    assert rows.measurements_of("A") == (Measurement("A", PartialDate(2026, 3, 2), Trait.MASS, 3010.0, "g"),)


def test_from_frames__unknown_table_is_a_fault() -> None:
    with pytest.raises(CollectionError, match=r"COL-008.*Did you mean animals"):
        Collection.from_frames({"animal": []})


def test_queries__young_of_candidates_and_dams() -> None:
    herd = Collection.from_frames(
        {
            "animals": {
                "id": ["A", "B", "C", "D", "E"],
                "sire": ["", "", "", "A:0.8|B:0.2", "A"],
                "dam": ["", "", "", "C", "C"],
                "clutch": ["", "", "", "K", "K"],
            },
            "clutches": {"id": ["K"], "dam": ["C"], "eggs": [3]},
            "eggs": {"clutch": ["K"], "egg": ["1"], "animal": ["D"]},
            "lines": {"animal": ["A"], "line": ["Marrowfen"], "share_low": [1], "share_high": [1]},
            "matings": {"dam": ["C"], "sire": ["A"]},
            "events": {"animal": ["A", "A"], "date": ["2024-02", "2023"], "kind": ["shed", "meal"]},
        }
    )
    assert [one.id for one in herd.offspring("A")] == ["D", "E"]
    assert [one.id for one in herd.offspring("B")] == ["D"]
    assert [one.id for one in herd.offspring("C")] == ["D", "E"]
    assert [one.id for one in herd.clutch_mates("K")] == ["D", "E"]
    assert [one.line for one in herd.lines_of("A")] == ["Marrowfen"]
    assert [one.sire for one in herd.matings_of("C")] == ["A"]
    assert [one.kind for one in herd.events_of("A")] == ["meal", "shed"]
    assert [one.animal for one in herd.eggs_of("K")] == ["D"]
    assert herd.offspring("E") == herd.measurements_of("nobody") == ()


def test_from_folder__statements_on_genes(tmp_path: Path) -> None:
    head = "animal,gene,kind,none,one,two,by,ground,date,trust"
    (tmp_path / "animals.csv").write_text("id\nA\nB\n")
    plain = Collection.from_folder(tmp_path)
    (tmp_path / "statements.csv").write_text(f"{head}\n")
    assert Collection.from_folder(tmp_path).digest == plain.digest
    (tmp_path / "statements.csv").write_text(f"{head}\nA,Clown,claimed,0.333333,0.666667,0,Wren,,2024-05,\n")
    herd = Collection.from_folder(tmp_path)
    assert herd.digest != plain.digest
    assert herd.statements_of("B") == ()
    (one,) = herd.statements_of("A")
    assert (one.gene, one.kind, one.one, one.by, one.date) == (
        "Clown",
        "claimed",
        0.666667,
        "Wren",
        PartialDate(2024, 5),
    )
    assert one.trust == 1.0


def test_collection__is_frozen() -> None:
    herd = FromPackage.from_records(Records(animals=(Animal("A"),)))
    with pytest.raises(FrozenInstanceError, match="cannot assign to field 'records'"):
        herd.records = Records()  # type: ignore[misc]  # the point of the test
    with pytest.raises(TypeError, match="does not support item assignment"):
        herd.animals["B"] = Animal("B")  # type: ignore[index]  # the point of the test
