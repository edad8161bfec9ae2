"""What of a season goes into a calendar."""

from __future__ import annotations

import datetime as dt

from holdback.answers.season import Season
from holdback.calendars.entries import Standing, entries_of
from holdback.collection.collection import Collection
from holdback.species.catalogue import load

ON = dt.date(2026, 5, 14)


def test_entries_of__a_second_clutch_and_one_without_a_dam_are_told_too() -> None:
    herd = Collection.from_frames(
        {
            "animals": [{"id": "D1", "sex": "female", "hatched": "2018-06-01"}],
            "clutches": [
                {"id": "C1", "dam": "D1", "laid": "2026-01-20", "eggs": 6, "slugs": 0, "hatched": "2026-03-20"},
                {"id": "C2", "dam": "D1", "laid": "2026-04-10", "eggs": 5, "slugs": 0},
                {"id": "C3", "laid": "2026-04-12", "eggs": 5, "slugs": 0},
                {"id": "C4", "laid": "2026-02-12", "eggs": 5, "slugs": 0, "hatched": "2026-04-12"},
            ],
        }
    )
    found = entries_of(Season(herd, load(), on=ON))
    told = {one.summary: one for one in found}
    assert told["Clutch C2 hatches"].standing is Standing.TENTATIVE
    assert told["Clutch C3 hatches"].first > ON
    assert told["Clutch C4 hatched"].first == dt.date(2026, 4, 12)
    assert {"Young of clutch C2 ready to sell", "Young of clutch C3 ready to sell"} < told.keys()
    assert sum(one.summary == "Clutch C1 hatched" for one in found) == 1
    assert all(one.text.endswith(".") for one in found if one.text)
    assert len({one.uid for one in found}) == len(found)
