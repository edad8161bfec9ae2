"""Everything that can be wrong with a folder: each code once at least, in place, and all of them together."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from holdback.collection.codes import CODES
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Candidate, Clutch, Measurement, PartialDate, Records, Trait
from holdback.errors import CollectionError, Fault

HERD = "id,sex,hatched,sire,dam,clutch\nM,male,2018,,,\nF,female,2018,,,\n"
WITH_STATUS = "id,sex,hatched,sire,dam,clutch,status\nM,male,2018,,,,\nF,female,2018,,,,\n"
CLUTCH = "id,dam,sires,laid,eggs,slugs,hatched\nK,F,M,2021-04-01,3,1,2021-06-01\n"
FROM = "animal,place,country,latitude,longitude,ground\n"
LOOKS = "clutch,egg,date,state\n"
WARM = "place,date,celsius,time\n"
DEAD = "clutch,egg,outcome,animal\nK,1,died,A\n"
AIMS = "id,name,want,share_at_least,some_of,some_least,size,size_low_g,size_high_g,number,by,held_back,worth_eggs\n"
TO_PAIR = "year,dam,sire,project\n"
SAID = "animal,gene,kind,none,one,two,trust\n"

CASES: dict[str, tuple[dict[str, str], int, str, str, str]] = {
    # name: files, line, field, part of the message, part of the hint
    "COL-003 semicolons": ({"animals": "id;sex\nA;male\n"}, 1, "", "not parted by commas", "sheet"),
    "COL-003 quotes": ({"animals": 'id,notes\nA,"open\nB,x\n'}, 2, "", "breaks off", "does not close"),
    "COL-004 unknown column": ({"animals": "id,sexx\nA,male\n"}, 1, "sexx", "no column 'sexx'", "Did you mean sex?"),
    "COL-004 unnamed column": ({"animals": "id,\nA,male\n"}, 1, "", "no column ''", "Known are"),
    "COL-005 missing column": ({"animals": "name\nUmber\n"}, 1, "id", "id is missing", "The first line names"),
    "COL-005 empty file": ({"animals": HERD, "eggs": ""}, 1, "clutch", "clutch is missing", "clutch, egg"),
    "COL-006 column twice": ({"animals": "id,Sex,sex\nA,male,male\n"}, 1, "sex", "stands twice", "Leave one"),
    "COL-007 more cells": ({"animals": "id,sex\nA,male,big, lean\n"}, 2, "", "'big, lean'", "quotation marks"),
    "COL-008 strange file": ({"animals": HERD, "measurement": "a\n"}, 0, "", "not a file", "Call it measurements.csv"),
    "COL-010 empty": ({"animals": "id,name\nA,\n,Umber\n"}, 3, "id", "id is empty", "Fill it in"),
    "COL-011 date": ({"animals": "id,hatched\nA,2022-13\n"}, 2, "hatched", "'2022-13' is no date", "YYYY-MM"),
    "COL-012 number": (
        {"animals": HERD, "measurements": "animal,date,trait,value,unit\nM,2020,mass,12;5,g\n"},
        2,
        "value",
        "'12;5' is no number",
        "digits",
    ),
    "COL-013 word": ({"animals": "id,sex\nA,hen\n"}, 2, "sex", "'hen' is none", "male, female, unknown"),
    "COL-014 sires": ({"animals": HERD + "A,,,M:1:2,,\n"}, 4, "sire", "no weight", "A7:0.8"),
    "COL-015 id": ({"animals": "id\nA|B\n"}, 2, "id", "'A|B' cannot be an id", "no | or :"),
    "COL-015 none": ({"animals": "id\nNone\n"}, 2, "id", "'None' cannot be an id", "the word none"),
    "COL-016 character": ({"animals": "id,notes\nA,a\x00b\n"}, 2, "notes", "character 0x00", "Delete it"),
    "COL-017 negative mass": (
        {"animals": HERD, "measurements": "animal,date,trait,value,unit\nM,2020,mass,-12,g\n"},
        2,
        "value",
        "-12 cannot be",
        "more than 0",
    ),
    "COL-017 egg of no mass": (
        {"animals": HERD, "clutches": CLUTCH, "eggs": "clutch,egg,mass_g\nK,1,0\n"},
        2,
        "mass_g",
        "0 cannot be",
        "more than 0",
    ),
    "COL-018 unit": (
        {"animals": HERD, "measurements": "animal,date,trait,value,unit\nM,2020,head width,38,g\n"},
        2,
        "unit",
        "'g' is no unit of head width",
        "mm, cm, m, in",
    ),
    "COL-019 share": (
        {"animals": HERD, "lines": "animal,line,share_low,share_high\nM,Marrowfen,0.6,0.5\n"},
        2,
        "share_low",
        "0.6 to 0.5",
        "lower one first",
    ),
    "COL-019 percent": (
        {"animals": HERD, "lines": "animal,line,share_low,share_high\nM,Marrowfen,0,50\n"},
        2,
        "share_low",
        "0 to 50",
        "half is 0.5",
    ),
    "COL-020 weight": ({"animals": HERD + "A,,,M:1.5,,\n"}, 4, "sire", "weight 1.5", "at most 1"),
    "COL-020 sum": ({"animals": HERD + "N,male,,,,\nA,,,M:0.8|N:0.4,,\n"}, 5, "sire", "sum to 1.2", "Lower them"),
    "COL-021 twice": ({"animals": HERD + "A,,,M:0.4|M:0.4,,\n"}, 4, "sire", "M is named 2 times", "once"),
    "COL-022 chance": ({"animals": HERD, "statements": SAID + "M,Clown,claimed,-1,1,1,\n"}, 2, "none", "-1 ", "half"),
    "COL-022 sum": ({"animals": HERD, "statements": SAID + "M,Clown,claimed,0.5,0.4,0,\n"}, 2, "none", "to 0.9", "1"),
    "COL-023 latitude": (
        {"animals": HERD, "origins": FROM + "M,,,95,2,\n"},
        2,
        "latitude",
        "of 95 cannot",
        "-90 to 90",
    ),
    "COL-023 longitude": ({"animals": HERD, "origins": FROM + "M,,,9,-181,\n"}, 2, "longitude", "-181", "west"),
    "COL-023 one missing": ({"animals": HERD, "origins": FROM + "M,x,,9,,\n"}, 2, "longitude", "is missing", "both"),
    "COL-023 nothing": ({"animals": HERD, "origins": FROM + "M,,,,,\n"}, 2, "place", "No place", "the country"),
    "COL-024 small": ({"animals": HERD, "origins": FROM + "M,,gh,,,\n"}, 2, "country", "'gh'", "mean GH (Ghana)"),
    "COL-024 name": ({"animals": HERD, "origins": FROM + "M,,Gahna,,,\n"}, 2, "country", "'Gahna'", "mean GH (Ghana)"),
    "COL-024 no country": ({"animals": HERD, "origins": FROM + "M,,XQ,,,\n"}, 2, "country", "'XQ'", "ISO 3166-1"),
    "COL-042 origin": ({"animals": HERD, "origins": FROM + "M,x,,,,\nM,y,,,,\n"}, 3, "animal", "M stands", "Leave"),
    "COL-017 trust": ({"animals": HERD, "statements": SAID + "M,Clown,seen,0,0,1,2\n"}, 2, "trust", "trust of 2", "1"),
    "COL-013 kind": ({"animals": HERD, "statements": SAID + "M,Clown,heard,0,0,1,\n"}, 2, "kind", "'heard'", "seen"),
    "COL-032 statement": ({"animals": HERD, "statements": SAID + "Z,Clown,seen,0,0,1,\n"}, 2, "animal", "Z is", "Add"),
    "COL-030 id twice": ({"animals": "id\nA\nB\nA\n"}, 4, "id", "A is used twice, first in line 2", "tub"),
    "COL-030 clutch": (
        {"animals": HERD, "clutches": CLUTCH + "K,F,M,,,,\n"},
        3,
        "id",
        "first in line 2",
        "id of its own",
    ),
    "COL-031 dam": ({"animals": "id,dam\nA,Z\n"}, 2, "dam", "The dam Z is not in", "leave the cell empty"),
    "COL-031 candidate": ({"animals": HERD + "A,,,M:0.5|Z:0.5,,\n"}, 4, "sire", "The sire Z is not in", "Add it"),
    "COL-031 clutch": ({"animals": HERD, "clutches": "id,sires\nK,Z\n"}, 2, "sires", "The sire Z", "Add it"),
    "COL-032 clutch": ({"animals": HERD + "A,,,,,K\n"}, 4, "clutch", "K is not in clutches.csv", "correct the clutch"),
    "COL-032 animal": (
        {"animals": HERD, "events": "animal,date,kind\nZ,2020,shed\n"},
        2,
        "animal",
        "Z is not in",
        "Add",
    ),
    "COL-033 dam": ({"animals": HERD + "A,,,,M,\n"}, 4, "dam", "M is recorded as male", "Correct its sex"),
    "COL-033 mating": (
        {"animals": HERD, "matings": "dam,sire\nF,F\n"},
        2,
        "sire",
        "F is recorded as female",
        "another",
    ),
    "COL-034 own parent": ({"animals": HERD + "A,,,,A,\n"}, 4, "dam", "A is recorded as its own dam", "empty"),
    "COL-035 both": (
        {"animals": HERD + "U,,,,,\nA,,,U,U,\n"},
        5,
        "dam",
        "U is recorded as sire and as dam",
        "Correct one",
    ),
    "COL-036 loop": ({"animals": "id,dam\nA,B\nB,C\nC,A\nD,A\n"}, 2, "sire", "A < B < C < A", "One of these"),
    "COL-037 younger": (
        {"animals": HERD + "A,,2017,,F,\n"},
        4,
        "dam",
        "F hatched 2018, not before A (2017)",
        "one date",
    ),
    "COL-038 dams": (
        {"animals": HERD + "G,female,,,,\nA,,,,G,K\n", "clutches": CLUTCH},
        5,
        "dam",
        "The dam is G, and clutch K was laid by F",
        "dam or the clutch",
    ),
    "COL-039 slugs": ({"animals": HERD, "clutches": "id,eggs,slugs\nK,3,4\n"}, 2, "slugs", "4 slugs among 3", "Count"),
    "COL-039 rows": (
        {"animals": HERD, "clutches": "id,eggs\nK,1\n", "eggs": "clutch,egg\nK,1\nK,2\n"},
        2,
        "eggs",
        "lists 2 eggs",
        "Count",
    ),
    "COL-039 slug rows": (
        {"animals": HERD, "clutches": CLUTCH, "eggs": "clutch,egg,outcome\nK,1,slug\nK,2,slug\n"},
        2,
        "slugs",
        "lists 2 slugs",
        "Count",
    ),
    "COL-039 young": (
        {"animals": HERD + "A,,,,,K\nB,,,,,K\nC,,,,,K\n", "clutches": CLUTCH},
        2,
        "eggs",
        "3 young are of clutch K, which has 2 good eggs",
        "Count",
    ),
    "COL-040 died": (
        {"animals": HERD + "A,,,,,K\n", "clutches": CLUTCH, "eggs": "clutch,egg,outcome,animal\nK,1,died,A\n"},
        2,
        "animal",
        "written as died, and A came out",
        "Correct",
    ),
    "COL-040 other clutch": (
        {
            "animals": HERD + "A,,,,,K\n",
            "clutches": CLUTCH + "L,F,M,,,,\n",
            "eggs": "clutch,egg,outcome,animal\nL,1,hatched,A\n",
        },
        2,
        "animal",
        "A is of clutch K",
        "egg",
    ),
    "COL-040 two eggs": (
        {"animals": HERD + "A,,,,,K\n", "clutches": CLUTCH, "eggs": "clutch,egg,outcome,animal\nK,1,,A\nK,2,,A\n"},
        3,
        "animal",
        "egg 1 of K already",
        "egg",
    ),
    "COL-041 ended": (
        {"animals": HERD, "clutches": CLUTCH, "eggs": "clutch,egg,outcome,ended\nK,1,died,2021-03-30\n"},
        2,
        "ended",
        "Egg 1 of K ended 2021-03-30, before it was laid 2021-04-01",
        "one date",
    ),
    "COL-041 until": (
        {"animals": HERD, "events": "animal,date,kind,until\nF,2021-05-02,rests,2021-04\n"},
        2,
        "until",
        "It lasted until 2021-04, and began 2021-05-02",
        "one date",
    ),
    "COL-041 looked too soon": (
        {"animals": HERD, "clutches": CLUTCH, "eggs": "clutch,egg\nK,1\n", "egg_looks": LOOKS + "K,1,2021-03,veins\n"},
        2,
        "date",
        "looked at 2021-03, before it was laid 2021-04-01",
        "one date",
    ),
    "COL-041 looked too late": (
        {
            "animals": HERD,
            "clutches": CLUTCH,
            "eggs": "clutch,egg,outcome,ended\nK,1,died,2021-05-02\n",
            "egg_looks": LOOKS + "K,1,2021-05-02,veins\nK,1,2021-05-03,veins\nK,1,2021-05-04,lost\n",
        },
        3,
        "date",
        "looked at 2021-05-03, and ended 2021-05-02",
        "one date",
    ),
    "COL-032 egg": (
        {"animals": HERD, "clutches": CLUTCH, "egg_looks": LOOKS + "K,1,2021-05,veins\n"},
        2,
        "egg",
        "Egg 1 of K is not in eggs.csv",
        "Add it there",
    ),
    "COL-032 clutch of a look": (
        {"animals": HERD, "egg_looks": LOOKS + "K,1,2021-05,veins\n"},
        2,
        "clutch",
        "K is not in clutches.csv",
        "Add it there",
    ),
    "COL-013 state": (
        {"animals": HERD, "clutches": CLUTCH, "eggs": "clutch,egg\nK,1\n", "egg_looks": LOOKS + "K,1,2021-05,vein\n"},
        2,
        "state",
        "'vein' is none",
        "Did you mean veins",
    ),
    "COL-017 warmth": ({"animals": HERD, "temperatures": WARM + "shed,2021-05-02,88.5,\n"}, 2, "celsius", "88.5", "60"),
    "COL-017 frost": ({"animals": HERD, "temperatures": WARM + "shed,2021-05-02,-20,\n"}, 2, "celsius", "-20", "60"),
    "COL-017 capacity": ({"animals": HERD, "places": "place,capacity\nshed,-1\n"}, 2, "capacity", "no count", "0 or"),
    "COL-025 time": ({"animals": HERD, "temperatures": WARM + "shed,2021-05-02,31,7:05\n"}, 2, "time", "7:05", "07:05"),
    "COL-026 month": ({"animals": HERD, "temperatures": WARM + "shed,2021-05,31,\n"}, 2, "date", "2021-05", "the day"),
    "COL-042 place": (
        {"animals": HERD, "places": "place\nshed / box 1\nshed  /  box 1 \n"},
        3,
        "place",
        "shed / box 1 stands here again, first in line 2",
        "Leave one",
    ),
    "COL-043 out": (
        {
            "animals": HERD,
            "clutches": CLUTCH,
            "eggs": "clutch,egg,outcome\nK,1,died\nK,2,hatched\n",
            "egg_looks": LOOKS + "K,2,2021-05,out\nK,1,2021-05,out\n",
        },
        3,
        "state",
        "found out on 2021-05, and is written as died",
        "Correct",
    ),
    "COL-043 lost": (
        {
            "animals": HERD,
            "clutches": CLUTCH,
            "eggs": "clutch,egg,outcome\nK,1,hatched\n",
            "egg_looks": LOOKS + "K,1,2021-05,lost\n",
        },
        2,
        "state",
        "found lost on 2021-05, and is written as hatched",
        "Correct",
    ),
    "COL-044 dam": (
        {"animals": WITH_STATUS + "A,female,,,,K,died in egg\nB,,,,A,,\n", "clutches": CLUTCH, "eggs": DEAD},
        5,
        "dam",
        "A died in the egg",
        "what became of the egg",
    ),
    "COL-044 mating": (
        {
            "animals": WITH_STATUS + "A,,,,,K,died in egg\n",
            "clutches": CLUTCH,
            "eggs": DEAD,
            "matings": "dam,sire\nF,A\n",
        },
        2,
        "sire",
        "A died in the egg",
        "what became of the egg",
    ),
    "COL-044 clutch": (
        {"animals": WITH_STATUS + "A,,,,,K,died in egg\n", "clutches": CLUTCH + "L,F,A,,,,\n", "eggs": DEAD},
        3,
        "sires",
        "A died in the egg",
        "what became of the egg",
    ),
    "COL-041 mating": (
        {"animals": HERD, "matings": "dam,sire,together,apart\nF,M,2021-02-03,2021-01\n"},
        2,
        "apart",
        "parted 2021-01, before",
        "one date",
    ),
    "COL-041 clutch": (
        {"animals": HERD, "clutches": "id,laid,hatched\nK,2021-06,2021-04\n"},
        2,
        "hatched",
        "before it was",
        "one date",
    ),
    "COL-041 dam": ({"animals": HERD, "clutches": "id,dam,laid\nK,F,2017-06\n"}, 2, "laid", "before its dam F", "dam"),
    "COL-041 young": (
        {"animals": HERD + "A,,2020,,,K\n", "clutches": CLUTCH},
        4,
        "hatched",
        "A hatched 2020, and clutch",
        "date",
    ),
    "COL-041 measured": (
        {"animals": HERD, "events": "animal,date,kind\nF,2017-12-31,meal\n"},
        2,
        "date",
        "F hatched 2018, after",
        "date",
    ),
    "COL-017 share": (
        {"animals": HERD, "projects": AIMS + "P,Big,,1.5\n"},
        2,
        "share_at_least",
        "1.5 cannot",
        "0 to 1",
    ),
    "COL-017 worth": ({"animals": HERD, "projects": AIMS + f"P,Big{',' * 11}-1\n"}, 2, "worth_eggs", "-1", "0 or more"),
    "COL-017 some": ({"animals": HERD, "projects": AIMS + "P,Big,,,Enchi,2\n"}, 2, "some_least", "2 of 1", "fewer"),
    "COL-017 by": ({"animals": HERD, "projects": AIMS + "P,Big,,,,,,,,,31\n"}, 2, "by", "31 is no season", "in full"),
    "COL-017 none wanted": ({"animals": HERD, "projects": AIMS + "P,Big,,,,,,,,0\n"}, 2, "number", "0 animals", "1 or"),
    "COL-017 season": ({"animals": HERD, "planned_pairings": TO_PAIR + "27,F,M,\n"}, 2, "year", "27 is no", "2027"),
    "COL-027 twice": ({"animals": HERD, "projects": AIMS + "P,Big,,,A|A\n"}, 2, "some_of", "A stands in", "once"),
    "COL-032 held back": (
        {"animals": HERD, "projects": AIMS + f"P,Big{',' * 10}Z\n"},
        2,
        "held_back",
        "Z is not",
        "held",
    ),
    "COL-032 planned dam": (
        {"animals": HERD, "planned_pairings": TO_PAIR + "2027,Z,M,\n"},
        2,
        "dam",
        "Z is not",
        "dam",
    ),
    "COL-032 project": (
        {"animals": HERD, "planned_pairings": TO_PAIR + "2027,F,M,P\n"},
        2,
        "project",
        "P is not",
        "proj",
    ),
    "COL-032 spoken for": ({"animals": HERD, "accepted": "project,code\nP,x\n"}, 2, "project", "P is not", "project"),
    "COL-035 planned": ({"animals": HERD, "planned_pairings": TO_PAIR + "2027,F,F,\n"}, 2, "sire", "for both", "two"),
    "COL-045 no band": ({"animals": HERD, "projects": AIMS + "P,Big,,,,,,2000\n"}, 2, "size", "no wish", "between"),
    "COL-045 no weight": (
        {"animals": HERD, "projects": AIMS + "P,Big,,,,,between two weights\n"},
        2,
        "size",
        "No weight",
        "lower weight",
    ),
    "COL-045 order": (
        {"animals": HERD, "projects": AIMS + "P,Big,,,,,between two weights,3000,2000\n"},
        2,
        "size_low_g",
        "begins with 3000 g",
        "lower weight first",
    ),
    "COL-042 planned": (
        {"animals": HERD, "planned_pairings": TO_PAIR + "2027,F,M,\n2027,F,M,\n"},
        3,
        "sire",
        "2027 F M stands",
        "row",
    ),
    "COL-042 line": (
        {"animals": HERD, "lines": "animal,line,share_low,share_high\nM,X,0,1\nM,X,1,1\n"},
        3,
        "line",
        "M X stands here again, first in line 2",
        "Leave one",
    ),
    "COL-042 egg": (
        {"animals": HERD, "clutches": CLUTCH, "eggs": "clutch,egg\nK,1\nK,1\n"},
        3,
        "egg",
        "K 1 stands",
        "row",
    ),
}


def write(folder: Path, files: Mapping[str, str]) -> Path:
    for name, text in files.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def faults(folder: Path) -> tuple[Fault, ...]:
    with pytest.raises(CollectionError, match="COL-") as caught:
        Collection.from_folder(folder)
    return caught.value.faults


@pytest.mark.parametrize("case", CASES)
def test_from_folder__one_fault(case: str, tmp_path: Path) -> None:
    files, line, field, message, hint = CASES[case]
    (fault,) = faults(write(tmp_path, files))
    assert (fault.code, fault.line, fault.field) == (case.split(maxsplit=1)[0], line, field)
    assert message in fault.what
    assert hint in fault.hint
    assert fault.file.removesuffix(".csv") in files


def test_from_folder__every_code_is_tried(tmp_path: Path) -> None:
    elsewhere = {"COL-001", "COL-002", "COL-009"}
    assert {case.split()[0] for case in CASES} | elsewhere == set(CODES)


def test_from_folder__no_folder_and_no_animals(tmp_path: Path) -> None:
    assert [(one.code, one.what) for one in faults(tmp_path / "barn")] == [("COL-001", "There is no folder 'barn'.")]
    write(tmp_path, {"clutches": CLUTCH})
    assert [one.code for one in faults(tmp_path)] == ["COL-001", "COL-031", "COL-031"]


def test_from_folder__not_utf8_says_the_line(tmp_path: Path) -> None:
    (tmp_path / "animals.csv").write_bytes("id,name\nA,Umber\nB,Zoë\n".encode("cp1252"))
    (fault,) = faults(tmp_path)
    assert (fault.code, fault.line, fault.hint) == ("COL-002", 3, 'Save it as "CSV UTF-8".')


@pytest.mark.parametrize("text", ["{", "[]", '{"holdback:species": 3}', '{"holdback:species": ""}'])
def test_from_folder__descriptor_that_cannot_be_read(text: str, tmp_path: Path) -> None:
    (write(tmp_path, {"animals": HERD}) / "datapackage.json").write_text(text, encoding="utf-8")
    (fault,) = faults(tmp_path)
    assert (fault.code, fault.file) == ("COL-009", "datapackage.json")


def test_from_folder__foreign_descriptor_is_no_fault(tmp_path: Path) -> None:
    (write(tmp_path, {"animals": HERD}) / "datapackage.json").write_text('{"name": "x"}', encoding="utf-8")
    assert Collection.from_folder(tmp_path).species == "python_regius"


def test_from_folder__all_faults_together(tmp_path: Path) -> None:
    write(
        tmp_path,
        {
            "animals": "id,sex,sire,dam,massg\nA,hen,Z,,\nA,male,,,12\nB,,,B,\n",
            "eggs": "clutch,egg\nK,1\n",
            "matings": "sire\nA\n",
        },
    )
    found = [(one.file, one.code, one.line) for one in faults(tmp_path)]
    assert sorted(found) == [
        ("animals.csv", "COL-004", 1),
        ("animals.csv", "COL-013", 2),
        ("animals.csv", "COL-030", 3),
        ("animals.csv", "COL-031", 2),
        ("animals.csv", "COL-034", 4),
        ("eggs.csv", "COL-032", 2),
        ("matings.csv", "COL-005", 1),
    ]


def test_from_folder__tolerates_what_programs_do_to_files(tmp_path: Path) -> None:
    """A byte order mark, capitals and spaces in the header, empty rows and columns, missing columns and files."""
    (tmp_path / "animals.csv").write_bytes("\ufeffID , Hatched,,\r\n\r\n A , 2020-07 ,,\r\n,,,\r\n".encode())
    assert Collection.from_folder(tmp_path).records.animals == (Animal("A", hatched=PartialDate(2020, 7)),)


def test_from_folder__line_of_a_row_after_a_text_of_several_lines(tmp_path: Path) -> None:
    write(tmp_path, {"animals": 'id,notes\nA,"one\ntwo\nthree"\n\nB,x,y\n'})
    assert [one.line for one in faults(tmp_path)] == [6]


def test_from_records__names_the_animal_and_no_file() -> None:
    records = Records(animals=(Animal("A", sires=(Candidate("Z", 0.0),)),))
    with pytest.raises(CollectionError, match="animal A") as caught:
        Collection.from_records(records)
    assert [(one.code, one.animal, one.file, one.line) for one in caught.value.faults] == [
        ("COL-020", "A", "", 0),
        ("COL-031", "A", "", 0),
    ]


def test_from_records__values_that_no_file_can_hold() -> None:
    records = Records(
        animals=(Animal(" A"), Animal("B", clutch="")),
        measurements=(Measurement("B", PartialDate(2020), Trait.MASS, float("inf"), "g"),),
        clutches=(Clutch("K", eggs=-1),),
    )
    with pytest.raises(CollectionError, match="COL-015") as caught:
        Collection.from_records(records)
    assert [one.code for one in caught.value.faults] == ["COL-015", "COL-015", "COL-017", "COL-017"]


def test_from_records__two_loops_and_a_deep_pedigree() -> None:
    """Each loop is told once; 30,000 generations meet no limit of recursion."""
    loops = [Animal("A", dam="B"), Animal("B", dam="A"), Animal("C", sires=(Candidate("D"),)), Animal("D", dam="C")]
    chain = [Animal("P0", dam="A")] + [Animal(f"P{n}", dam=f"P{n - 1}") for n in range(1, 30_000)]
    with pytest.raises(CollectionError, match="COL-036") as caught:
        Collection.from_records(Records(animals=(*chain, *loops)))
    assert [one.what.split(":")[0] for one in caught.value.faults] == ["A < B < A", "C < D < C"]


def test_from_records__loops_that_share_an_animal_are_found() -> None:
    animals = (
        Animal("A", dam="B", sires=(Candidate("C", 0.5),)),
        Animal("B", sires=(Candidate("A"),)),
        Animal("C", dam="A"),
    )
    with pytest.raises(CollectionError, match="COL-036"):
        Collection.from_records(Records(animals=animals))
