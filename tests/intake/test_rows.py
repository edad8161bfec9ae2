from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from holdback.collection.model import Animal, Candidate, Measurement, Origin, PartialDate, Records, Sex, Trait
from holdback.errors import IntakeError
from holdback.intake import (
    Field,
    GeneReading,
    Kind,
    Known,
    Landing,
    Listed,
    Preview,
    Question,
    find_table,
    propose,
    read_rows,
    sheet_from_bytes,
)  # fmt: skip

HEAD = "id,name,sex,hatched,origin,genes,sire,dam,status,notes,weight (g),weighed,where\n"
PARENTS = "S1,Mortar,m,2016,WC,,,,,,,,\nD1,Thistle,f,2019,CB,,,,,,,,\n"


def genes(text: str) -> GeneReading:
    unread = tuple((word, "Enchi" if word == "Enchy" else "") for word in text.split() if word in {"Karoo", "Enchy"})
    return GeneReading(text, unread, "three of one complex." if "Phantom" in text else "")


def read(text: str, *, known: Known | None = None, answers: dict[str, str] | None = None) -> Preview:
    table = find_table(sheet_from_bytes(text.encode(), "list.csv"))
    preview = read_rows(table, propose(table, this_year=2026), known=known, answers=answers, genes=genes)
    assert len(preview.landing_rows) + len(preview.waiting) + len(preview.left_out) == preview.n_rows
    return preview


def landing(preview: Preview, animal_id: str) -> Landing:
    return next(each for each in preview.landings if each.animal.id == animal_id)


def question(preview: Preview) -> Question:
    (only,) = preview.questions
    return only


def deeds(preview: Preview) -> dict[str, str]:
    return {choice.key: choice.deed for choice in question(preview).choices}


def test_read_rows__a_plain_row_lands() -> None:
    preview = read(
        HEAD + PARENTS + 'A1,Umber,F,18 July 2022,CB,Enchi,Mortar,d1,holdback,good eater,"3,010",2026-05-01,3-B\n'
    )
    assert not preview.questions
    found = landing(preview, "A1")
    assert found.animal == Animal(
        "A1", "Umber", Sex.FEMALE, PartialDate(2022, 7, 18), Origin.CAPTIVE_BRED, (Candidate("S1"),), "D1",
        genes="Enchi", status="holdback", notes="good eater",
    )  # fmt: skip
    assert found.measurements == (Measurement("A1", PartialDate(2026, 5, 1), Trait.MASS, 3010.0, "g"),)
    assert (found.place, found.kind, found.genes_read) == ("3-B", Kind.CREATED, "Enchi")


def test_read_rows__repeated_id_is_asked_and_both_wait() -> None:
    text = "id,name,sex\n20-04,Ash,m\n20-04,Oak,f\n"
    preview = read(text)
    assert [listed.row for listed in preview.waiting] == [2, 3]
    assert deeds(preview)["rename"] == "Make row 3 20-04b"
    renamed = read(text, answers={"twice:20-04": "rename"})
    assert [each.animal.id for each in renamed.landings] == ["20-04", "20-04b"]
    same = read(text, answers={"twice:20-04": "same"})
    assert [each.kind for each in same.landings] == [Kind.CREATED, Kind.CHANGED]
    assert same.count(Kind.CREATED) == 1
    first = read(text, answers={"twice:20-04": "first"})
    assert [listed.row for listed in first.left_out] == [3]
    written = read(text, answers={"twice:20-04": "write:20-05"})
    assert [each.animal.id for each in written.landings] == ["20-04", "20-05"]
    assert len(read(text, answers={"twice:20-04": "write:20-04"}).waiting) == 1


def test_read_rows__the_same_row_twice_is_explained() -> None:
    preview = read("id,name,sex\n1,Ash,m\n1,Ash,m\n")
    assert preview.left_out == (Listed(3, "says the same as row 2", "1 · Ash · m"),)


def test_read_rows__doubtful_sex_is_asked_once_for_all_rows() -> None:
    text = "id,name,sex\n1,a,F?\n2,b,F?\n3,c,m\n"
    preview = read(text)
    assert question(preview).rows == (2, 3)
    kept = read(text, answers={"sex:f?": "unknown"})
    assert landing(kept, "1").animal.sex is Sex.UNKNOWN
    assert landing(kept, "1").animal.notes == "sex: F?"


def test_read_rows__no_date_is_listed_and_can_be_written() -> None:
    text = "id,sex,hatched\n1,m,summer 2021\n2,f,2020\n"
    assert deeds(read(text))["write:2021"] == "Only the year, 2021"
    assert str(landing(read(text, answers={"hatched:2": "write:2021"}), "1").animal.hatched) == "2021"
    kept = landing(read(text, answers={"hatched:2": "unknown"}), "1").animal
    assert (kept.hatched, kept.notes) == (None, "hatched: summer 2021")
    assert read(text, answers={"hatched:2": "write:someday"}).waiting[0].row == 2


def test_read_rows__open_order_of_dates_holds_only_what_hangs_on_it() -> None:
    text = "id,sex,hatched\n1,m,3/4/2021\n2,f,2020-01-01\n"
    preview = read(text)
    assert [listed.row for listed in preview.waiting] == [2]
    assert question(preview).id == "writing:dates /"
    told = read(text, answers={"writing:dates /": "dmy"})
    assert str(landing(told, "1").animal.hatched) == "2021-04-03"


def test_read_rows__unknown_parent_is_asked_once_and_can_be_added() -> None:
    text = "id,sex,sire\n1,m,Flint\n2,f,flint\n"
    preview = read(text)
    assert question(preview).rows == (2, 3)
    added = read(text, answers={"sire:flint": "add"})
    assert added.landings[0].animal == Animal("Flint", sex=Sex.MALE)
    assert landing(added, "2").animal.sire == "Flint"
    kept = read(text, answers={"sire:flint": "unknown"})
    assert landing(kept, "1").animal.notes == "Sire: Flint"


def test_read_rows__name_of_two_animals_is_asked() -> None:
    text = "id,name,sex,dam\nD1,Rue,f,\nD2,Rue,f,\n3,Pim,m,Rue\n"
    assert question(read(text)).what == "2 animals are called Rue. Which one is the dam?"
    assert landing(read(text, answers={"dam:rue": "is:D2"}), "3").animal.dam == "D2"


def test_read_rows__young_wait_for_a_parent_that_waits() -> None:
    preview = read(
        "id,sex,hatched,sire\nS1,m,summer 2016,\n2,f,2020,S1\n3,f,2024,2\n", answers={"sire wrong:4": "unknown"}
    )
    assert [(listed.row, listed.reason) for listed in preview.waiting][1] == (3, "waits for its parent in row 2")


def test_read_rows__parent_of_the_wrong_sex_or_age() -> None:
    text = "id,sex,hatched,sire,dam\nS1,m,2016,,\nD1,f,2021,,\n3,f,2021,S1,D1\n4,f,2024,D1,\n5,m,2024,D1,S1\n"
    preview = read(text)
    assert [(each.rows, each.id) for each in preview.questions] == [
        ((4,), "dam age:4"), ((5,), "sire wrong:5"), ((6,), "exchange:6"),
    ]  # fmt: skip
    answered = read(text, answers={"dam age:4": "unknown", "sire wrong:5": "unknown", "exchange:6": "exchange"})
    assert landing(answered, "3").animal.dam is None
    assert landing(answered, "3").animal.notes == "Dam: D1"
    assert (landing(answered, "5").animal.sire, landing(answered, "5").animal.dam) == ("S1", "D1")


def test_read_rows__own_ancestor_is_asked() -> None:
    preview = read("id,sex,sire,dam\n1,m,,3\n2,f,1,\n3,f,,2\n4,f,1,2\n")
    assert {each.id for each in preview.questions} == {"circle:2", "circle:3", "circle:4"}


def test_read_rows__genes_not_read_are_asked_by_word() -> None:
    text = "id,sex,genes\n1,m,Pastel Karoo\n2,f,Karoo\n3,f,Enchy\n4,f,Mojave Lesser Phantom\n"
    preview = read(text)
    assert [(each.id, each.rows, each.gene) for each in preview.questions] == [
        ("gene:karoo", (2, 3), "Karoo"), ("gene:enchy", (4,), "Enchy"), ("genes:mojave lesser phantom", (5,), ""),
    ]  # fmt: skip
    held = read(
        text, answers={"gene:karoo": "hold", "gene:enchy": "write:Enchi", "genes:mojave lesser phantom": "write:Mojave"}
    )
    assert (landing(held, "1").animal.genes, landing(held, "1").animal.notes) == ("", "Genes as typed: Pastel Karoo")
    assert (landing(held, "3").animal.genes, landing(held, "3").animal.notes) == ("Enchi", "Genes as typed: Enchy")
    assert landing(held, "4").animal.genes == "Mojave"


def test_read_rows__grams_in_a_column_of_ounces_are_asked() -> None:
    rows = "".join(f"{n},{60 + n}.5,2026-05-01,2020\n" for n in range(20))
    text = f"id,weight oz,weighed,hatched\n{rows}x,640,2026-05-01,2020\ny,890,2026-05-01,2020\n"
    preview = read(text)
    assert (question(preview).rows, question(preview).why) == ((22, 23), "They fit as grams.")
    taken = read(text, answers={question(preview).id: "mend"})
    assert landing(taken, "x").measurements[0] == Measurement("x", PartialDate(2026, 5, 1), Trait.MASS, 640.0, "g")
    kept = read(text, answers={question(preview).id: "keep"})
    assert landing(kept, "x").measurements[0].unit == "oz"
    notes = read(text, answers={question(preview).id: "notes"})
    assert (landing(notes, "x").measurements, landing(notes, "x").animal.notes) == ((), "weight oz: 640")


def test_read_rows__a_slip_of_ten_is_asked() -> None:
    text = "id,weight g,weighed\n1,1650,2026-01-01\n1,165,2026-02-01\n1,1700,2026-03-01\n"
    preview = read(text, answers={"new:1": "add"}, known=Known(animals={"1": Animal("1")}))
    assert question(preview).why == "They fit with one figure more."
    assert question(preview).rows == (3,)


def test_read_rows__mass_without_a_day_is_listed_and_the_row_lands() -> None:
    text = "id,sex,weight g\n1,m,650\n2,f,700\n"
    preview = read(text)
    assert len(preview.landing_rows) == 2
    assert [(each.row, each.text) for each in preview.held] == [(2, "650"), (3, "700")]
    told = read(text, answers={"writing:weighed_on": "2026-05-01"})
    assert (told.n_measurements, told.held) == (2, ())


def test_read_rows__mass_of_open_unit_is_listed_and_the_row_lands() -> None:
    preview = read("id,sex,wt,weighed\n1,m,65,2026-05-01\n")
    assert preview.held == (Listed(2, "wt waits until you say the unit", "65", ("writing:unit 2",)),)
    assert len(preview.landing_rows) == 1


def test_read_rows__again_updates_by_id_and_an_empty_cell_changes_nothing() -> None:
    text = HEAD + PARENTS + "A1,Umber,F,2022,CB,Enchi,S1,D1,holdback,x,3010,2026-05-01,3-B\n"
    first = read(text)
    records = Records(
        animals=tuple(each.animal for each in first.landings),
        measurements=tuple(m for each in first.landings for m in each.measurements),
    )
    known = Known.of(records, places={"A1": "3-B"})
    assert read(text, known=known).count(Kind.UNCHANGED) == 3
    changed = read("id,name,status,genes\nA1,,breeder,\n", known=known)
    assert changed.landings[0].kind is Kind.CHANGED
    assert [(c.field, c.before, c.after) for c in changed.landings[0].changes] == [("status", "holdback", "breeder")]
    assert changed.landings[0].animal == replace(known.animals["A1"], status="breeder")


def test_read_rows__log_of_masses_adds_to_animals_on_record_and_asks_about_others() -> None:
    known = Known(animals={"A1": Animal("A1", "Umber")})
    preview = read("id,date,g\nA1,2026-01-01,600\nA1,2026-02-01,640\nZ9,2026-01-01,300\n", known=known)
    assert question(preview).id == "new:Z9"
    assert preview.n_measurements == 2


def test_read_rows__without_ids_the_name_serves() -> None:
    preview = read("Snake,sex\nUmber,f\nMortar,m\n")
    assert [each.animal.id for each in preview.landings] == ["Umber", "Mortar"]
    known = Known(animals={"22-11": Animal("22-11", "Umber")})
    assert landing(read("Snake,sex\nUmber,f\n", known=known), "22-11").kind is Kind.CHANGED


def test_read_rows__id_that_became_a_date_is_asked() -> None:
    import datetime as dt

    from holdback.intake import Cell, SheetRow

    table = find_table(sheet_from_bytes(b"id,sex\n1,f\n2,m\n", "list.csv"))
    day = dt.date(2022, 11, 1)
    rows = (SheetRow(2, (Cell("2022-11-01", day), table.rows[0].cells[1])), table.rows[1])
    table = replace(table, rows=rows)
    preview = read_rows(table, propose(table, this_year=2026))
    assert preview.questions[0].choices[0].key == "write:22-11"


def test_read_rows__candidates_lines_and_lengths() -> None:
    text = (
        "id,sex,sire,Marrowfen %,svl cm,measured\nS1,m,,,,\nS2,m,,100%,,\n"
        "3,f,S1:0.8|S2:0.2,50-75%,116.2,2026-05-01\n4,f,none,1/2,,\n5,f,S1 or S2,?,,\n"
    )
    preview = read(text)
    assert landing(preview, "3").animal.sires == (Candidate("S1", 0.8), Candidate("S2", 0.2))
    assert [(c.line, c.share_low, c.share_high) for c in landing(preview, "3").lines] == [("Marrowfen", 0.5, 0.75)]
    assert landing(preview, "3").measurements[0].trait is Trait.SNOUT_VENT_LENGTH
    assert landing(preview, "4").animal.sires == (Candidate("none"),)
    assert landing(preview, "4").lines[0].share_low == 0.5
    assert landing(preview, "5").animal.sires == (Candidate("S1", 0.5), Candidate("S2", 0.5))
    assert preview.held[0].row == 6


def test_read_rows__every_question_can_be_answered_by_leaving_out() -> None:
    good = "".join(f"{n},b{n},f,2020,CB,Enchi,,,,,650,2026-05-01,\n" for n in (2, 3))
    text = HEAD + "1,a,F?,summer,Mars,Karoo,Nobody,Nemo,,,heavy,someday,\n" + good
    preview = read(text)
    assert len(preview.questions) == 8
    out = read(text, answers={each.id: "leave out" for each in preview.questions})
    assert [each.row for each in out.landings] == [3, 4]
    assert not out.waiting
    assert out.left_out[0].reason.startswith("left out by you")


def test_read_rows__two_columns_for_one_field_are_refused() -> None:
    table = find_table(sheet_from_bytes(b"id,a,b\n1,x,y\n", "list.csv"))
    mapping = propose(table, this_year=2026).with_field(1, Field.SEX).with_field(2, Field.SEX)
    with pytest.raises(IntakeError, match="ITK-011"):
        read_rows(table, mapping)


CELLS = st.text(alphabet=st.characters(blacklist_categories=("Cs", "Cc")), max_size=12)


@given(st.lists(st.tuples(*[CELLS] * 8), min_size=1, max_size=6))
def test_read_rows__any_cells_land_or_are_listed(cells: list[tuple[str, ...]]) -> None:
    import csv
    import io

    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["id", "name", "sex", "hatched", "sire", "dam", "weight (g)", "weighed"])
    writer.writerows(cells)
    try:
        table = find_table(sheet_from_bytes(out.getvalue().encode(), "list.csv"))
    except IntakeError as error:
        # Nothing but blanks, totals and remarks: said as a whole.
        event(error.faults[0].code)
        return
    preview = read_rows(table, propose(table, this_year=2026), genes=genes)
    assert len(preview.landing_rows) + len(preview.waiting) + len(preview.left_out) == preview.n_rows
    listed = [each.row for each in (*preview.waiting, *preview.left_out)] + [each.row for each in preview.landing_rows]
    assert len(listed) == len(set(listed))
