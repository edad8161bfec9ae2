"""Whether she lays, when, and what follicles say."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.collection.model import Records
from holdback.season.days import DayLaw
from holdback.season.follicles import read_follicles
from holdback.season.intervals import Intervals
from holdback.season.laying import Chance, lays
from holdback.season.laying_past import Past
from holdback.season.outlook import Cycle, Follicle, Together
from holdback.species.catalogue import Catalogue, load

FEBRUARY = dt.date(2030, 2, 1)
PAIRED = (Together("M", dt.date(2029, 12, 20), dt.date(2029, 12, 22), 1, (dt.date(2029, 12, 21),)),)
CYCLE = Cycle("D", 2030, PAIRED)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


@pytest.fixture(scope="module")
def usual(catalogue: Catalogue) -> Intervals:
    return Intervals.learned(Collection.from_records(Records()), catalogue, before=FEBRUARY)


def _season(dam: str, year: int, *, has_laid: bool, day: int = 20) -> Cycle:
    together = (Together("M", dt.date(year - 1, 12, 20), None, 1),)
    return Cycle(dam, year, together, laid=dt.date(year, 4, day) if has_laid else None, has_laid=has_laid)


def _ask(
    cycle: Cycle, usual: Intervals, catalogue: Catalogue, today: dt.date = FEBRUARY, history: tuple[Cycle, ...] = ()
) -> Chance:
    found = lays(cycle, history, today=today, intervals=usual, catalogue=catalogue)
    assert found is not None
    return found


def test_lays__without_records_common_practice(usual: Intervals, catalogue: Catalogue) -> None:
    new = _ask(CYCLE, usual, catalogue)
    assert new.p == pytest.approx(0.53, abs=0.06)
    assert new.low < 0.4 < 0.65 < new.high
    assert new.basis is Basis.ASSUMED
    assert new.ground == "Of dams that never laid, 40 to 60\u00a0% (common practice, no source)."
    proven = _ask(CYCLE, usual, catalogue, history=(Cycle("D", 2029, laid=dt.date(2029, 4, 2), has_laid=True),))
    assert proven.p > new.p + 0.1


def test_lays__not_paired_hardly_ever(usual: Intervals, catalogue: Catalogue) -> None:
    chance = _ask(Cycle("D", 2030), usual, catalogue)
    assert chance.p < 0.04
    assert chance.ground.startswith("No male on record")


def test_lays__laid_is_known(usual: Intervals, catalogue: Catalogue) -> None:
    day = dt.date(2030, 1, 30)
    chance = _ask(replace(CYCLE, laid=day, has_laid=True), usual, catalogue)
    assert (chance.p, chance.law) == (1.0, chance.law)
    assert chance.law is not None
    assert chance.law.likeliest == day


def test_lays__own_seasons_move_the_chance(usual: Intervals, catalogue: Catalogue) -> None:
    good, poor = (
        tuple(_season(f"F{n}", year, has_laid=all_lay or year == 2026) for n in range(20) for year in range(2026, 2029))
        for all_lay in (True, False)
    )  # fmt: skip
    chances = [_ask(replace(CYCLE, dam="F1"), usual, catalogue, history=each) for each in (good, poor)]
    assert chances[0].p > 0.8 > 0.4 > chances[1].p
    assert chances[0].n_own == 40
    assert "40 of 40 paired seasons of your dams that laid before" in chances[0].ground
    assert "2 of her 2" in chances[0].ground


def test_lays__her_own_past_counts_most(usual: Intervals, catalogue: Catalogue) -> None:
    history = tuple(
        _season(dam, year, has_laid=year == 2020 or dam != "skips")
        for dam in ("skips", "A", "B", "C", "E") for year in range(2020, 2029)
    )  # fmt: skip
    chances = {dam: _ask(replace(CYCLE, dam=dam), usual, catalogue, history=history).p for dam in ("skips", "A")}
    assert chances["skips"] < chances["A"] - 0.2


def test_lays__signs_raise_it_and_narrow_the_day(usual: Intervals, catalogue: Catalogue) -> None:
    today = dt.date(2030, 4, 10)
    nothing = _ask(CYCLE, usual, catalogue, today)
    ovulated = _ask(replace(CYCLE, ovulated=dt.date(2030, 3, 10)), usual, catalogue, today)
    shed = _ask(replace(CYCLE, ovulated=dt.date(2030, 3, 10), shed=dt.date(2030, 3, 30)), usual, catalogue, today)
    assert nothing.p < ovulated.p < shed.p
    assert shed.p > 0.98
    assert nothing.law is not None
    assert ovulated.law is not None
    assert shed.law is not None
    assert nothing.law.sd > ovulated.law.sd
    assert abs((ovulated.law.median - dt.date(2030, 4, 30)).days) <= 3
    assert abs((shed.law.median - dt.date(2030, 5, 2)).days) <= 3
    assert shed.ground.endswith("Day by the shed.")


def test_lays__time_without_laying_lowers_it(usual: Intervals, catalogue: Catalogue) -> None:
    days = [dt.date(2030, month, 1) for month in (2, 4, 6, 8)]
    chances = [_ask(CYCLE, usual, catalogue, day) for day in days]
    assert [one.p for one in chances] == sorted((one.p for one in chances), reverse=True)
    assert chances[-1].p < 0.1
    for day, one in zip(days, chances, strict=True):
        assert one.law is not None
        assert one.law.first >= day.toordinal()


def test_lays__months_after_the_shed_no_day_is_left(usual: Intervals, catalogue: Catalogue) -> None:
    chance = _ask(replace(CYCLE, shed=dt.date(2030, 1, 10)), usual, catalogue, dt.date(2030, 9, 20))
    assert chance.law is None
    assert chance.p == 0.0


def test_draws__have_the_mean_and_the_range(usual: Intervals, catalogue: Catalogue) -> None:
    for cycle, today in ((CYCLE, FEBRUARY), (CYCLE, dt.date(2030, 5, 20))):
        chance = _ask(cycle, usual, catalogue, today)
        drawn = chance.draws(np.random.default_rng(3), 40_000)
        assert drawn.mean() == pytest.approx(chance.p, abs=0.005)
        assert np.quantile(drawn, [0.05, 0.95]) == pytest.approx([chance.low, chance.high], abs=0.02)


def test_lays__later_pairing_lays_later(usual: Intervals, catalogue: Catalogue) -> None:
    late = replace(CYCLE, together=(Together("M", dt.date(2030, 1, 29), None, 1),))
    laws = [_ask(cycle, usual, catalogue).law for cycle in (CYCLE, late)]
    assert laws[0] is not None
    assert laws[1] is not None
    assert 8 < laws[1].mean - laws[0].mean < 22


def test_lays__a_species_that_says_little_still_has_a_chance(catalogue: Catalogue) -> None:
    other = load("pantherophis_guttatus")
    usual = Intervals.learned(Collection.from_records(Records()), other, before=FEBRUARY)
    chance = lays(replace(CYCLE, ovulated=dt.date(2030, 1, 25)), (), today=FEBRUARY, intervals=usual, catalogue=other)
    assert chance is not None
    assert chance.p == pytest.approx(0.75, abs=0.02)
    assert chance.law is not None
    assert abs((chance.law.median - dt.date(2030, 2, 19)).days) <= 2
    assert lays(Cycle("D", 2030), (), today=FEBRUARY, intervals=usual, catalogue=other) is None


PRIOR = DayLaw.between(dt.date(2030, 1, 1), dt.date(2030, 6, 30))


def test_read_follicles__larger_is_sooner_and_likelier(catalogue: Catalogue) -> None:
    day = dt.date(2030, 2, 10)
    read = [read_follicles([Follicle(day, mm)], PRIOR, catalogue) for mm in (8.0, 22.0, 35.0, 43.0)]
    laws = [one.ovulation for one in read if one is not None and one.ovulation is not None]
    ratios = [one.log_ratio for one in read if one is not None]
    assert len(laws) == 4
    assert [law.mean for law in laws] == sorted((law.mean for law in laws), reverse=True)
    assert ratios[0] < 0 < ratios[2]
    assert (laws[3].median - day).days < 14


def test_read_follicles__two_looks_tell_the_pace(catalogue: Catalogue) -> None:
    first, later = dt.date(2030, 2, 1), dt.date(2030, 3, 1)
    slow = read_follicles([Follicle(first, 20.0), Follicle(later, 25.0)], PRIOR, catalogue)
    quick = read_follicles([Follicle(first, 12.0), Follicle(later, 25.0)], PRIOR, catalogue)
    assert slow is not None
    assert quick is not None
    assert slow.ovulation is not None
    assert quick.ovulation is not None
    assert slow.ovulation.mean > quick.ovulation.mean + 10


def test_read_follicles__nothing_to_say(catalogue: Catalogue) -> None:
    assert read_follicles([], PRIOR, catalogue) is None
    assert read_follicles([Follicle(FEBRUARY, 30.0)], PRIOR, load("pantherophis_guttatus")) is None
    gone = read_follicles([Follicle(dt.date(2030, 9, 1), 30.0)], PRIOR, catalogue)
    assert gone is not None
    assert gone.ovulation is None
    assert gone.log_ratio == -np.inf


def test_past__months_and_males_unknown_do_not_break(catalogue: Catalogue) -> None:
    history = [Cycle("D", 2028, has_laid=True), Cycle("E", 2028, (Together("M", None, None),), has_laid=True)]
    past = Past.learned(history, catalogue)
    assert past.n_days == 0
    assert past.first is not None
    assert past.first.n_own == 1
    assert past.has_laid == {"D", "E"}
