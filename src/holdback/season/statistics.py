"""What a keeper asks at the end of a season: hatching, slugs and losses by dam, sire, incubator and year, and the rest.

Every share is one of `rates`: few eggs are drawn towards all, and eggs of a clutch fare alike. What cannot be counted
is left out and told.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Sex
from holdback.season.by_season import season_of
from holdback.season.completed import Completed, lengths
from holdback.season.cycles import cycles, past_seasons
from holdback.season.dam_clutches import DamClutches, dam_clutches
from holdback.season.feed_gain import FeedGains, feed_gains
from holdback.season.hatch_records import (
    IN_THE_BOX,
    KEPT_ONLY,
    NOT_COUNTED,
    NOT_WRITTEN,
    SET_ASIDE,
    BoxRecord,
    HatchRecord,
    Loss,
    box_records,
    hatch_records,
)
from holdback.season.male_use import MaleSeason, male_use
from holdback.season.outlook import Rate, RatioTest
from holdback.season.rates import Counted, rates
from holdback.season.ratio import ALIKE, Part, pooled_test, ratio_test
from holdback.season.spans import Span
from holdback.size.counting import readings_of
from holdback.species.catalogue import Catalogue
from holdback.species.model import Value

LookParts = Callable[[str], Mapping[str, Part]]
"""From a clutch to what its young show: name of a gene to the young with and without it, and the chance foretold."""

_USUAL = ("hatch_rate", "slug_rate", "clutch_size_mean", "clutch_mass_share", "sexing_error")


@dataclass(frozen=True, slots=True)
class Shares:
    """One share of eggs, in all and by group.

    Parameters
    ----------
    whole : Rate or None
        Mean over the dams; None where nothing was counted.
    by_dam, by_sire, by_incubator, by_year : tuple of Rate
        In record order. A clutch of doubtful sires counts for each by its weight.
    """

    whole: Rate | None
    by_dam: tuple[Rate, ...]
    by_sire: tuple[Rate, ...]
    by_incubator: tuple[Rate, ...]
    by_year: tuple[Rate, ...]


@dataclass(frozen=True, eq=False)
class Statistics:
    """What a keeper asks at the end of a season.

    Parameters
    ----------
    records : tuple of HatchRecord
        Every clutch, with why it was left out.
    hatched : Shares
        Young out of all eggs, slugs among the eggs.
    slugs : Shares
        Slugs out of all eggs; not by incubator, which makes none.
    lost : Shares
        Good eggs that were lost.
    causes : mapping of str to int
        Good eggs lost, by cause as typed, the commonest first; "" where nobody wrote one.
    losses : tuple of Loss
        Each of them, with the days since laying.
    males : tuple of MaleSeason
        Use of the males.
    sexes : RatioTest
        Males and females among the young beside one in two.
    looks : mapping of str to RatioTest
        By gene, over all clutches; empty where no odds were given.
    feeding : FeedGains
        Gain by prey.
    dams : DamClutches
        Clutch beside dam.
    pairing_to_laying : tuple of Completed
        Days from the first male, or the first lock, to laying.
    usual : mapping of str to Value
        What the species file says, by its key, where it says it.
    notes : tuple of str
        What was left out, and what the numbers cannot tell.
    """

    records: tuple[HatchRecord, ...]
    hatched: Shares
    slugs: Shares
    lost: Shares
    causes: Mapping[str, int]
    losses: tuple[Loss, ...]
    males: tuple[MaleSeason, ...]
    sexes: RatioTest
    looks: Mapping[str, RatioTest]
    feeding: FeedGains
    dams: DamClutches
    pairing_to_laying: tuple[Completed, ...]
    usual: Mapping[str, Value]
    notes: tuple[str, ...]

    def left_out(self, why: str) -> tuple[str, ...]:
        """Clutches left out for a reason, one of those of `hatch_records`."""
        return tuple(one.clutch for one in self.records if one.left_out == why)


def statistics(
    collection: Collection, *, catalogue: Catalogue, today: dt.date, looks: LookParts | None = None
) -> Statistics:
    """Everything counted over all clutches, as it stands on a day.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        Species.
    today : date
        Clutches laid later are not there yet.
    looks : callable, optional
        From a clutch id to its genes as `LookParts`; without it no look is counted.

    Returns
    -------
    Statistics
        Shares with their 90 % ranges.
    """
    records = hatch_records(collection, catalogue, today=today)
    readings = readings_of(collection, catalogue)
    before = today + dt.timedelta(days=1)
    now = cycles(collection, season_of(today, catalogue), catalogue, before=before)
    every = [*past_seasons(collection, catalogue, before), *now.values()]
    spans = lengths(collection, every, catalogue, before=before).counted
    counted = [one for one in records if not one.left_out]
    boxes = tuple(box_records(collection, records))
    losses = tuple(loss for one in records if one.left_out != SET_ASIDE for loss in one.losses)
    feeding = feed_gains(collection, readings, today=today)
    by_look = _looks(counted_clutches(records), looks) if looks else {}
    return Statistics(
        records=records,
        hatched=_shares(counted, lambda one: (one.laid, one.hatched), boxes, lambda box: (box.known, box.hatched)),
        slugs=_shares(
            [one for one in records if one.slugs is not None and one.left_out != SET_ASIDE],
            lambda one: (one.laid, one.slugs or 0),
        ),
        lost=_shares(
            counted,
            lambda one: (one.hatched + one.lost, one.lost),
            boxes,
            lambda box: (box.known - box.slugs, box.known - box.slugs - box.hatched),
        ),
        causes=dict(Counter(loss.cause for loss in losses).most_common()),
        losses=losses,
        males=male_use(collection, records, readings=readings, catalogue=catalogue, today=today),
        sexes=_sexes(collection, counted_clutches(records)),
        looks=by_look,
        feeding=feeding,
        dams=dam_clutches(collection, records, readings),
        pairing_to_laying=tuple(spans.get(Span.PAIRING_TO_LAYING, ())),
        usual={key: value for key in _USUAL if (value := catalogue.reproduction.get(key)) is not None},
        notes=tuple(_notes(records, feeding)),
    )


def counted_clutches(records: Iterable[HatchRecord]) -> tuple[str, ...]:
    """Clutches whose young count for ratios: all but those set aside."""
    return tuple(one.clutch for one in records if one.left_out != SET_ASIDE)


def _shares(
    records: Sequence[HatchRecord],
    counts: Callable[[HatchRecord], tuple[int, int]],
    boxes: Sequence[BoxRecord] = (),
    in_box: Callable[[BoxRecord], tuple[int, int]] | None = None,
) -> Shares:
    """One share by every grouping."""

    def grouped(groups: Callable[[HatchRecord], Iterable[tuple[str, float]]]) -> list[Counted]:
        return [Counted(group, one.clutch, *counts(one), weight) for one in records for group, weight in groups(one)]

    by_dam = rates(grouped(lambda one: [(one.dam or f"unknown dam of {one.clutch}", 1.0)]))
    known = {one.dam for one in records if one.dam}
    by_box = [Counted(box.incubator, box.clutch, *in_box(box)) for box in boxes] if in_box else []
    return Shares(
        whole=by_dam.whole,
        by_dam=tuple(rate for rate in by_dam.groups if rate.group in known),
        by_sire=rates(grouped(lambda one: [(sire.animal, sire.weight) for sire in one.sires])).groups,
        by_incubator=rates(by_box).groups,
        by_year=rates(grouped(lambda one: [(str(one.year), 1.0)] if one.year is not None else [])).groups,
    )


def _sexes(collection: Collection, clutches: Iterable[str]) -> RatioTest:
    """Sexes of the young that are sexed; a clutch without a sire is left out, as its young are of one sex."""
    sexes = [
        animal.sex
        for clutch in clutches
        if all(one.animal != NO_SIRE for one in collection.clutches[clutch].sires)
        for animal in collection.clutch_mates(clutch)
    ]
    came = {"males": sexes.count(Sex.MALE), "females": sexes.count(Sex.FEMALE)}
    return ratio_test({"males": 0.5, "females": 0.5}, came)


def _looks(clutches: Iterable[str], looks: LookParts) -> dict[str, RatioTest]:
    """Tests of every gene over all clutches, the least likely result first."""
    parts: dict[str, list[Part]] = {}
    for clutch in clutches:
        for gene, part in looks(clutch).items():
            parts.setdefault(gene, []).append(part)
    tests = {gene: pooled_test(found, look=gene, other=f"without {gene}", slack=ALIKE) for gene, found in parts.items()}
    return dict(sorted(tests.items(), key=lambda one: one[1].p_value))


def _notes(records: Sequence[HatchRecord], feeding: FeedGains) -> Iterator[str]:
    """What was left out, in sentences."""
    why = Counter(one.left_out for one in records)
    if why[SET_ASIDE]:
        yield f"{_clutches(why[SET_ASIDE])} set aside: left out of every share."
    if why[NOT_COUNTED]:
        yield f"{_clutches(why[NOT_COUNTED])} without a number of eggs: left out; write down how many there were."
    if why[IN_THE_BOX]:
        yield f"{_clutches(why[IN_THE_BOX])} still in the box: counted for slugs only."
    if why[NOT_WRITTEN]:
        yield (
            f"{_clutches(why[NOT_WRITTEN])} of which it is not written what became of each egg: left out of hatching "
            "and losses."
        )
    if why[KEPT_ONLY]:
        yield (
            f"{_clutches(why[KEPT_ONLY])} with young on record, but not what became of each egg. Where only animals "
            "that were kept were entered, sexes and looks among them are those of the kept, not of the clutch."
        )
    if any(len(one.sires) > 1 for one in records):
        yield "A clutch that may be of several males counts for each by its weight."
    if feeding.without_mass:
        yield (
            f"Gain by prey is left out for {feeding.without_mass} animals and years in which a meal has no mass: weigh "
            "the prey, or write its size, to have it."
        )


def _clutches(number: int) -> str:
    return "1 clutch" if number == 1 else f"{number} clutches"
