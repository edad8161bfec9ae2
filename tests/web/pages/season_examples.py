"""A small invented collection in May of its season: one laid, one gravid, one that may not lay, one that rests."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holdback.web.records.models import Animal

TODAY = dt.date(2026, 5, 14)
WHO = "Wrackline Barn"


def keep_a_year() -> dict[str, Animal]:
    """Write the collection, and set the day; the settings must say that it is a demo."""
    from holdback.collection.event_kinds import MEAL, OVULATION, PRELAY_SHED, RESTS, ULTRASOUND
    from holdback.web.records.services import add_animal, add_clutch, add_measurement
    from holdback.web.records.services.day import set_day
    from holdback.web.records.services.happenings import log_event
    from holdback.web.records.services.matings import log_lock, part, put_together

    set_day(TODAY, who=WHO)
    found = {}
    for tag, name, sex, hatched in (
        ("18-05", "Tallow", "male", "2018-07-01"),
        ("20-07", "Harrow", "male", "2020-08-01"),
        ("17-02", "Quill", "female", "2017-07-01"),
        ("20-12", "Fennel", "female", "2020-07-01"),
        ("22-09", "Sorrel", "female", "2022-07-18"),
        ("19-01", "Thistle", "female", "2019-07-12"),
        ("21-06", "Jackdaw", "female", "2021-07-12"),
    ):
        found[name] = add_animal(who=WHO, tag=tag, name=name, sex=sex, hatched=hatched, status="breeder")
        grams = 1200 if sex == "male" else 1900
        add_measurement(found[name], who=WHO, date="2026-03-01", value=grams, condition="empty")
        log_event(found[name], who=WHO, kind=MEAL, on=dt.date(2026, 4, 30), value=60.0)
    for dam, sire, first, last in (
        ("Quill", "Harrow", dt.date(2026, 1, 2), dt.date(2026, 1, 4)),
        ("Fennel", "Tallow", dt.date(2026, 1, 10), dt.date(2026, 1, 12)),
        ("Sorrel", "Harrow", dt.date(2026, 3, 20), dt.date(2026, 3, 22)),
    ):
        mating = put_together(who=WHO, dam=found[dam], sire=found[sire], on=first)
        log_lock(who=WHO, dam=found[dam], sire=found[sire], on=first, mating=mating)
        part(mating, who=WHO, on=last)
    log_event(found["Fennel"], who=WHO, kind=OVULATION, on=dt.date(2026, 4, 20))
    log_event(found["Fennel"], who=WHO, kind=PRELAY_SHED, on=dt.date(2026, 5, 9))
    log_event(found["Sorrel"], who=WHO, kind=ULTRASOUND, on=dt.date(2026, 5, 3), value=18.0)
    log_event(found["Thistle"], who=WHO, kind=RESTS, on=dt.date(2025, 11, 1))
    add_clutch(who=WHO, tag="26-01", dam="17-02", sires="20-07", laid="2026-04-30", eggs=6)
    return found
