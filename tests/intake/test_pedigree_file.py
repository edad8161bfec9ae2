"""A pedigree file as a sheet: every word of it is an id, and every animal lands."""

from __future__ import annotations

from pathlib import Path

import pytest

from holdback.collection.model import Animal, Candidate, PartialDate, Sex
from holdback.errors import CollectionError
from holdback.intake import Kind, Known, Preview, find_table, propose, read_rows, read_sheets


def previewed(folder: Path, text: str, known: Known | None = None, answers: dict[str, str] | None = None) -> Preview:
    (folder / "barn.fam").write_text(text, encoding="utf-8")
    (sheet,) = read_sheets(folder / "barn.fam")
    table = find_table(sheet)
    found = read_rows(table, propose(table, this_year=2026), known=known, answers=answers)
    assert len(found.landing_rows) + len(found.waiting) + len(found.left_out) == found.n_rows
    return found


def shown(preview: Preview) -> list[tuple[int, str, str, str | None, str | None]]:
    animals = [(landing.row, landing.animal) for landing in preview.landings]
    return [(row, one.id, one.sex.value, one.sire, one.dam) for row, one in animals]


def known(*animals: Animal) -> Known:
    return Known({animal.id: animal for animal in animals})


def test_read_sheets__pedigree_is_ids_parents_and_sexes_by_line(tmp_path: Path) -> None:
    (tmp_path / "barn.PED").write_text("# barn\n1 S 0 0 1 0\n\n1 K S D 0 0 A A\n", encoding="utf-8")
    (sheet,) = read_sheets(tmp_path / "barn.PED")
    assert [(row.number, *(cell.text for cell in row.cells)) for row in sheet.rows] == [
        (0, "id", "sire", "dam", "sex"),
        (2, "S", "", "", "male"),
        (4, "K", "S", "D", ""),
    ]
    assert sheet.notes == (
        "Lines with genotypes, which are not read: 1.",
        "Lines of remarks, which are not read: 1.",
        "Parents without a line of their own, taken as animals: 1.",
    )


def test_read_rows__parents_without_a_line_are_added_and_nothing_is_asked(tmp_path: Path) -> None:
    found = previewed(tmp_path, "1 K S D 2 0\n1 L S K 0 0\n")
    assert not found.questions
    assert shown(found) == [
        (0, "S", "male", None, None),
        (0, "D", "female", None, None),
        (1, "K", "female", "S", "D"),
        (2, "L", "unknown", "S", "K"),
    ]
    assert found.notes == ("Parents without a line of their own, taken as animals: 2.",)


@pytest.mark.parametrize("word", ["x", "na", "-", "?", "unknown", "partho", "22/05", "Total", "median", "males", "'=1"])
def test_read_rows__words_of_a_sheet_are_ids_in_a_pedigree(tmp_path: Path, word: str) -> None:
    text = f"1 {word} 0 0 0 0\n1 a-founder-with-a-long-name 0 0 0 0\n1 K {word} 0 1 0\n"
    assert [(each[1], each[3]) for each in shown(previewed(tmp_path, text))] == [
        (word, None),
        ("a-founder-with-a-long-name", None),
        ("K", word),
    ]


def test_read_rows__what_is_on_record_is_not_blanked(tmp_path: Path) -> None:
    umber = Animal(
        "22-11", "Umber", Sex.FEMALE, PartialDate(2022), genes="Enchi", status="holdback", notes="shy",
        sires=(Candidate("16-01", 0.5), Candidate("17-02", 0.5)), dam="19-01", clutch="C1",
    )  # fmt: skip
    others = [Animal("16-01", "Mortar", Sex.MALE), Animal("17-02"), Animal("19-01", sex=Sex.FEMALE)]
    found = previewed(tmp_path, "1 22-11 0 0 0 0\n1 16-01 0 0 1 0\n1 23-01 16-01 22-11 1 0\n", known(umber, *others))
    assert [(each.animal, each.kind) for each in found.landings[:2]] == [
        (umber, Kind.UNCHANGED),
        (others[0], Kind.UNCHANGED),
    ]
    assert shown(found)[2] == (3, "23-01", "male", "16-01", "22-11")


def test_read_rows__ids_on_record_with_spaces_are_found_again(tmp_path: Path) -> None:
    records = known(Animal("Big Red", sex=Sex.MALE), Animal("Old  Sal", sex=Sex.FEMALE), Animal("k1"))
    found = previewed(tmp_path, "1 Big_Red 0 0 1 0\n1 K1 Big_Red Old_Sal 0 0\n", records)
    assert shown(found) == [(1, "Big Red", "male", None, None), (2, "k1", "unknown", "Big Red", "Old  Sal")]
    assert found.landings[0].remarks == ("“Big_Red” is taken for Big Red on record.",)


def test_read_rows__ids_that_differ_in_case_are_two_animals(tmp_path: Path) -> None:
    found = previewed(tmp_path, "1 k1 0 0 1 0\n1 L K1 0 0 0\n")
    assert {each[1] for each in shown(found)} == {"k1", "K1", "L"}


def test_read_rows__an_id_is_no_name_on_record(tmp_path: Path) -> None:
    found = previewed(tmp_path, "1 K Mortar 0 0 0\n", known(Animal("16-01", "Mortar", Sex.MALE)))
    assert shown(found) == [(0, "Mortar", "male", None, None), (1, "K", "unknown", "Mortar", None)]


def test_read_rows__a_sire_on_record_as_female_is_asked(tmp_path: Path) -> None:
    found = previewed(tmp_path, "1 K S 0 0 0\n", known(Animal("S", sex=Sex.FEMALE)))
    assert [(question.id, question.rows) for question in found.questions] == [("sire wrong:1", (1,))]


def test_read_rows__added_parent_lands_with_any_young_that_lands(tmp_path: Path) -> None:
    # The first of the young waits because of its dam; the other must not lose the sire that both have.
    found = previewed(tmp_path, "1 B 0 0 1 0\n1 K S B 0 0\n1 L S 0 0 0\n")
    assert [each[1] for each in shown(found)] == ["S", "B", "L"]
    assert [each.row for each in found.waiting] == [2]


def test_read_rows__an_id_too_long_is_asked_and_its_young_wait(tmp_path: Path) -> None:
    found = previewed(tmp_path, f"1 {'a' * 65} 0 0 1 0\n1 K {'a' * 65} 0 0 0\n")
    assert not found.landings
    assert [each.row for each in found.waiting] == [1, 2]


def test_read_sheets__all_faults_of_a_pedigree_with_their_lines(tmp_path: Path) -> None:
    (tmp_path / "barn.fam").write_text("1 A 0 0 1 0\n1 B 0\n1 A 0 0 m 0\n", encoding="utf-8")
    with pytest.raises(CollectionError) as caught:
        read_sheets(tmp_path / "barn.fam")
    assert [(one.code, one.file, one.line) for one in caught.value.faults] == [
        ("PED-022", "barn.fam", 2),
        ("PED-023", "barn.fam", 3),
    ]
