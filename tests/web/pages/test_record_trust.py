"""What the almanac says of how far records are trusted."""

from __future__ import annotations

import re

from holdback.species.catalogue import load
from holdback.species.trust import RECORDS
from holdback.web.pages.record_trust import size_table, trust_table, words_for


def test_trust_table__has_a_line_for_every_value() -> None:
    rows = trust_table(load("pantherophis_guttatus")).rows
    assert len({row[0] for row in rows}) == len(rows) == len(RECORDS)
    assert {row[3] for row in rows} == {"from memory"}


def test_trust_table__gives_chance_and_range_in_percent() -> None:
    rows = {re.sub("<[^>]+>", "", row[0]): row for row in trust_table(load()).rows}
    assert rows["Another look of the gene is written down"][1:3] == ["0.2", "0.05–1"]
    assert rows["No sire, dam with one copy: a young has one too"][1:3] == ["30", "0–66.7"]


def test_words_for__a_number_that_only_one_file_has() -> None:
    assert words_for("map_length_morgan") == "Length of the whole map, Morgan"
    assert words_for("arms_of_the_third") == "arms of the third"


def test_size_table__days_and_the_ordinary_animal() -> None:
    rows = {re.sub("<[^>]+>", "", row[0]): row for row in size_table(load()).rows}
    assert [
        str(cell).replace("\u202f", " ").replace("\xa0", " ")
        for cell in rows["A weight does not count before laying for"][1:4]
    ] == ["150 d", "90–180", "from memory"]
    assert len(rows) == 5
    assert len(size_table(load("pantherophis_guttatus")).rows) == 3
