"""Lengths: what is usual, drawn towards own records."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.collection.model import Animal, Clutch, Egg, Event, Mating, PartialDate, Records, Sex, Temperature
from holdback.season.intervals import Intervals, Length, Span
from holdback.species.catalogue import Catalogue, load

TODAY = dt.date(2030, 9, 1)
NOBODY = Collection.from_records(Records())


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


@pytest.fixture(scope="module")
def usual(catalogue: Catalogue) -> Intervals:
    return Intervals.learned(NOBODY, catalogue, before=TODAY)


def _date(day: dt.date) -> PartialDate:
    return PartialDate(day.year, day.month, day.day)


def _laid(n: int, days: int, *, dams: int = 0, months: bool = False, celsius: float | None = None) -> Collection:
    """Clutches of as many seasons and dams that took so many days in the egg, and from the shed half of it."""
    names = [f"D{number % (dams or n)}" for number in range(n)]
    laid = [dt.date(2015 + number // (dams or n), 4, 1 + number % 25) for number in range(n)]
    hatched = [day + dt.timedelta(days=days) for day in laid]
    sheds = [day - dt.timedelta(days=days // 2) for day in laid]
    return Collection.from_records(
        Records(
            animals=tuple(Animal(name, sex=Sex.FEMALE) for name in sorted(set(names))),
            clutches=tuple(
                Clutch(f"C{i}", names[i], (), PartialDate(laid[i].year, 4) if months else _date(laid[i]), 6, 0,
                       _date(hatched[i]))
                for i in range(n)
            ),
            events=tuple(Event(names[i], _date(sheds[i]), "pre-lay shed") for i in range(n)),
            eggs=tuple(Egg(f"C{i}", "1", box=f"room / box {i}") for i in range(n)) if celsius else (),
            temperatures=tuple(
                Temperature(f"room / box {i}", _date(laid[i] + dt.timedelta(days=each)), celsius)
                for i in range(n) for each in (3, 20)
            ) if celsius else (),
        )
    )  # fmt: skip


def _range(length: Length | None, coverage: float = 0.9) -> list[int]:
    assert length is not None
    first, last = length.law.window(coverage)
    return [first.toordinal(), last.toordinal()]


def _mean(intervals: Intervals, span: Span, dam: str = "", celsius: float | None = None) -> float:
    length = intervals.length(span, dam=dam, celsius=celsius)
    assert length is not None
    return length.law.mean


@pytest.mark.parametrize(
    "span, low, high",
    [
        (Span.OVULATION_TO_SHED, 14, 25),
        (Span.OVULATION_TO_LAYING, 44, 60),
        (Span.SHED_TO_LAYING, 25, 45),
        (Span.HATCHING_TO_SHED, 7, 14),
        (Span.HATCHING_TO_MEAL, 10, 21),
        (Span.HATCHING_TO_READY, 42, 70),
        (Span.OUT_AFTER_PIP, 1, 3),
    ],
)
def test_length__usual_range_holds_nine_of_ten(usual: Intervals, span: Span, low: int, high: int) -> None:
    length = usual.length(span)
    assert length is not None
    assert length.basis is Basis.ASSUMED
    assert _range(length) == pytest.approx([low, high], abs=1)


def test_length__a_keeper_with_slow_females_is_followed(catalogue: Catalogue, usual: Intervals) -> None:
    learned = Intervals.learned(_laid(40, 80), catalogue, before=TODAY)
    length = learned.length(Span.SHED_TO_LAYING)
    assert length is not None
    assert length.n_own == 40
    assert length.basis is Basis.MEASURED
    assert length.ground == "40 records of yours, drawn towards 25 to 45 days (common practice, no source)"
    assert _mean(usual, Span.SHED_TO_LAYING) < length.law.mean
    assert length.law.mean == pytest.approx(40, abs=1.0)


def test_length__a_dam_is_told_from_the_others(catalogue: Catalogue) -> None:
    slow, quick = _laid(24, 60, dams=4), _laid(4, 44, dams=1)
    mixed = Collection.from_records(
        Records(
            animals=(*slow.records.animals, Animal("Q", sex=Sex.FEMALE)),
            clutches=(*slow.records.clutches, *(Clutch(f"Q{c.id}", "Q", (), c.laid) for c in quick.records.clutches)),
            events=(*slow.records.events, *(Event("Q", e.date, e.kind) for e in quick.records.events)),
        )
    )
    learned = Intervals.learned(mixed, catalogue, before=TODAY)
    hers, any_dam = _mean(learned, Span.SHED_TO_LAYING, "Q"), _mean(learned, Span.SHED_TO_LAYING)
    assert hers < any_dam - 1.5
    assert hers > 22


def test_learned__later_records_are_not_known(catalogue: Catalogue, usual: Intervals) -> None:
    learned = Intervals.learned(_laid(40, 80), catalogue, before=dt.date(2014, 1, 1))
    assert [one.n_own for one in learned.told()] == [0] * 9
    assert learned.told() == usual.told()


def test_learned__months_slips_and_clutches_set_aside_do_not_count(catalogue: Catalogue) -> None:
    by_month = Intervals.learned(_laid(5, 60, months=True), catalogue, before=TODAY)
    assert by_month.told()[2].n_own == 0
    slips = Intervals.learned(_laid(5, 250), catalogue, before=TODAY)
    assert all(one.n_own == 0 for one in slips.told())
    assert {one.span for one in slips.asked} == {Span.SHED_TO_LAYING, Span.LAYING_TO_HATCHING}
    good = _laid(5, 60).records
    heated = tuple(Clutch(c.id, c.dam, (), c.laid, 6, 0, c.hatched, "heat") for c in good.clutches)
    aside = Collection.from_records(Records(animals=good.animals, clutches=heated, events=good.events))
    assert all(one.n_own == 0 for one in Intervals.learned(aside, catalogue, before=TODAY).told())


def test_length__incubation_follows_warmth(usual: Intervals) -> None:
    """Common practice at 31.5 degrees; 58 to 70 days at 29.2 (Ellis and Chappell 1987)."""
    warm, cool = (usual.length(Span.LAYING_TO_HATCHING, celsius=celsius) for celsius in (31.5, 29.2))
    assert _range(warm) == pytest.approx([53, 62], abs=1)
    assert _range(cool) == pytest.approx([58, 70], abs=1)
    assert _mean(usual, Span.LAYING_TO_HATCHING) == pytest.approx(58, abs=0.5)


def test_length__own_warmth_moves_the_line(catalogue: Catalogue) -> None:
    learned = Intervals.learned(_laid(30, 66, celsius=30.0), catalogue, before=TODAY)
    assert _mean(learned, Span.LAYING_TO_HATCHING, celsius=30.0) == pytest.approx(66, abs=0.7)
    assert _mean(learned, Span.LAYING_TO_HATCHING) == pytest.approx(66, abs=1.0)
    assert _mean(learned, Span.LAYING_TO_HATCHING, celsius=31.5) == pytest.approx(60.5, abs=1.0)
    told = learned.length(Span.LAYING_TO_HATCHING, celsius=30.0)
    assert told is not None
    assert told.ground.endswith("53 to 62 days (common practice, no source); at 30.0\u00a0°C")


def test_length__a_species_that_does_not_say_so_has_none() -> None:
    learned = Intervals.learned(NOBODY, load("pantherophis_guttatus"), before=TODAY)
    assert learned.length(Span.OVULATION_TO_SHED) is None
    assert _range(learned.length(Span.LAYING_TO_HATCHING, celsius=28.0)) == pytest.approx([52, 72], abs=1)


def test_learned__first_day_with_a_male_counts(catalogue: Catalogue) -> None:
    records = _laid(12, 60).records
    matings = tuple(
        Mating(c.dam or "", "M", _date(c.laid.earliest - dt.timedelta(days=90))) for c in records.clutches if c.laid
    )
    animals = (*records.animals, Animal("M", sex=Sex.MALE))
    collection = Collection.from_records(Records(animals=animals, clutches=records.clutches, matings=matings))
    length = Intervals.learned(collection, catalogue, before=TODAY).length(Span.PAIRING_TO_LAYING)
    assert length is not None
    assert length.n_own == 12
    assert 90 < length.law.mean < 100


@pytest.mark.parametrize("span", list(Span))
def test_draw__has_the_law_of_length(catalogue: Catalogue, span: Span) -> None:
    learned = Intervals.learned(_laid(12, 58, dams=3), catalogue, before=TODAY)
    rng = np.random.default_rng(4)
    days = learned.draw(rng, 40_000).days(span, rng, dam="D1")
    length = learned.length(span, dam="D1")
    assert length is not None
    assert days.mean() == pytest.approx(length.law.mean, abs=5 * length.law.sd / 200)
    assert days.std() == pytest.approx(length.law.sd, rel=0.04)


def test_draw__only_longer_ones(usual: Intervals) -> None:
    rng = np.random.default_rng(5)
    days = usual.draw(rng, 2000).days(Span.LAYING_TO_HATCHING, rng, longer_than=58)
    assert days.min() == 59
    length = usual.length(Span.LAYING_TO_HATCHING)
    assert length is not None
    rest = length.law.after(dt.date.fromordinal(58))
    assert rest is not None
    assert days.mean() == pytest.approx(rest.mean, abs=0.3)


def test_learned__a_clutch_of_an_unknown_dam_tells_of_days_in_the_egg(catalogue: Catalogue) -> None:
    records = _laid(8, 62).records
    clutches = tuple(Clutch(c.id, None, (), c.laid, 6, 0, c.hatched) for c in records.clutches)
    learned = Intervals.learned(Collection.from_records(Records(clutches=clutches)), catalogue, before=TODAY)
    assert [one.n_own for one in learned.told() if one.span is Span.LAYING_TO_HATCHING] == [8]
    assert learned.asked == ()
