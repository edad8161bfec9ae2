from __future__ import annotations

from holdback.intake import Field, Mapping, find_table, propose, sheet_from_bytes
from holdback.intake.proposal import again


def proposed(text: str) -> Mapping:
    return propose(find_table(sheet_from_bytes(text.encode(), "list.csv")), this_year=2026)


def fields(mapping: Mapping) -> dict[str, str]:
    return {column.title: column.field.value for column in mapping.columns}


def evidence(mapping: Mapping, key: str) -> str:
    return next(f"{item.proposed or 'open'}: {item.why}" for item in mapping.evidence if item.key == key)


def test_propose__usual_headings() -> None:
    mapping = proposed(
        "Snake,#,M/F,DOB,Genetics,Dad,Mom,Wt,Where,Price\n"
        "Umber,22-11,F,7/18/22,Enchi,Mortar,Thistle,106.2,3-B,200\nPim,22-12,m,7/20/22,Pastel,Mortar,Thistle,99.5,,100\n"
    )
    assert fields(mapping) == {
        "Snake": "name", "#": "id", "M/F": "sex", "DOB": "hatched", "Genetics": "genes", "Dad": "sire", "Mom": "dam",
        "Wt": "mass", "Where": "place", "Price": "notes",
    }  # fmt: skip
    reasons = {column.title: column.reason for column in mapping.columns}
    assert reasons["DOB"] == "month first: 18 cannot be a month"
    assert reasons["#"] == "none repeats"


def test_propose__by_the_cells_where_no_heading_helps() -> None:
    mapping = proposed(
        "a,b,c,d\nU1,F,2022-07-18,Mortar x Thistle\nU2,m,2021-06-01,Mortar x Ash\nU3,f,2021-06-02,A x B\n"
    )
    assert fields(mapping) == {"a": "id", "b": "sex", "c": "hatched", "d": "parents"}


def test_propose__heading_that_the_cells_contradict_is_not_believed() -> None:
    mapping = proposed("id,sex\n1,Enchi\n2,Pastel\n3,Clown\n")
    assert fields(mapping)["sex"] == "notes"
    assert "do not fit" in mapping.columns[1].reason


def test_propose__running_numbers_are_no_ids() -> None:
    assert fields(proposed("No,Name,Sex\n1,Umber,f\n2,Mortar,m\n3,Ash,m\n"))["No"] == "leave out"


def test_propose__second_column_of_a_kind_goes_to_notes() -> None:
    mapping = proposed("id,sex,gender\n1,f,f\n2,m,m\n")
    assert fields(mapping) == {"id": "id", "sex": "sex", "gender": "notes"}
    assert "sex is the sex already" in mapping.columns[2].reason


def test_propose__order_of_dates_is_decided_by_the_rows() -> None:
    assert evidence(proposed("id,hatched\n1,7/18/2022\n2,3/4/2022\n"), "dates /") == (
        "mdy: 1 row decides it, none speak against."
    )
    assert evidence(proposed("id,hatched\n1,18.7.2022\n2,3.4.2022\n"), "dates .").startswith("dmy")


def test_propose__order_of_dates_stays_open_where_nothing_decides_or_rows_disagree() -> None:
    assert evidence(proposed("id,hatched\n1,3/4/2022\n2,5/6/2022\n"), "dates /") == (
        "open: Nothing decides it: 2 rows can be read both ways."
    )
    assert evidence(proposed("id,hatched\n1,18/4/2022\n2,5/26/2022\n"), "dates /").startswith(
        "open: 1 row can only be day"
    )


def test_propose__two_figure_years() -> None:
    assert evidence(proposed("id,hatched\n1,7/18/22\n"), "year_from").startswith("1966")
    assert evidence(proposed("id,hatched\n1,7/18/40\n"), "year_from") == "open: 40 would lie ahead of 2026."


def test_propose__decimal_comma() -> None:
    head = "id,weight (oz),date\n"
    assert evidence(proposed(head + '1,"106,2",2026\n2,"81,5",2026\n'), "decimal").startswith(",")
    assert evidence(proposed(head + '1,"106,2",2026\n2,81.5,2026\n'), "decimal").startswith("open: 1 speak")
    grams = "id,weight (g),date\n"
    assert evidence(proposed(grams + '1,"3,010",2026\n2,"1,204",2026\n'), "decimal").startswith(".: 2 rows can only")
    assert evidence(proposed("id,length (cm),date\n" + '1,"1,010",2026\n'), "decimal").startswith("open: Nothing")


def test_propose__unit_of_masses() -> None:
    ounces = "\n".join(f"{n},{n}.5,2026" for n in range(60, 110))
    assert evidence(proposed(f"id,wt,date\n{ounces}\n"), "unit 1").startswith("oz: 50 of 50 are ounces")
    grams = "\n".join(f"{n},{n * 20},2026" for n in range(60, 110))
    assert evidence(proposed(f"id,wt,date\n{grams}\n"), "unit 1").startswith("g: 50 of 50 can only be grams")
    assert evidence(proposed("id,wt,date\n1,65,2026\n2,70,2026\n"), "unit 1").startswith("open: 2 of 2 fit as grams")
    assert proposed("id,weight (g),date\n1,65,2026\n").columns[1].unit == "g"


def test_propose__day_of_masses_from_title_or_heading() -> None:
    assert evidence(proposed("Weights of 3 March 2026,,\nid,g,sex\n1,650,f\n"), "weighed_on").startswith("2026-03-03")
    mapping = proposed("id,g 2026-01-04,g 2026-02-04\n1,650,700\n2,650,700\n")
    assert [str(column.date) for column in mapping.columns[1:]] == ["2026-01-04", "2026-02-04"]


def test_mapping__json_and_back() -> None:
    mapping = proposed("id,g 2026-01-04,hatched,wt\n1,650,7/18/22,3\n")
    assert Mapping.from_json(mapping.as_json()) == mapping


def test_again__keeps_what_was_told() -> None:
    text = "id,hatched,weight\n1,3/4/2022,65\n2,5/6/2022,70\n"
    table = find_table(sheet_from_bytes(text.encode(), "list.csv"))
    mapping = propose(table, this_year=2026).with_told("dates /", "dmy").with_told("unit 2", "g")
    moved = again(table, mapping.with_field(0, Field.NAME), this_year=2026)
    assert moved.of(Field.NAME)[0].reason == "you said so"
    assert (moved.told("dates /"), moved.told("unit 2")) == ("dmy", "g")
