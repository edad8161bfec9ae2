"""Who of a line should breed, and how much: frozen results for pages and commands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from holdback.answers.season.as_json import estimate_as_json
from holdback.collection.estimate import Estimate
from holdback.collection.model import Sex


@dataclass(frozen=True, slots=True)
class Breeder:
    """One animal of a line that can breed.

    Parameters
    ----------
    animal : str
        Id.
    sex : Sex
        Male or female.
    share : float
        Expected share of the line.
    size : Estimate or None
        Breeding value of its size, in percent of an ordinary animal; None where sizes tell nobody apart.
    kinship : float
        Mean kinship with the others of the line that can breed.
    part : float
        Part of the genes of the young that would be best, if clutches could be split; 0.5 in all from each sex.
    clutches, clutches_at_most : int
        Clutches planned, and the most that it can have.
    """

    animal: str
    sex: Sex
    share: float
    size: Estimate | None
    kinship: float
    part: float
    clutches: int
    clutches_at_most: int


@dataclass(frozen=True, slots=True)
class LineClutch:
    """One clutch that is planned for a line.

    Parameters
    ----------
    sire, dam : str
        Ids.
    inbreeding : float
        Inbreeding coefficient of the young.
    share : float
        Share of the line to expect.
    size : Estimate or None
        Mean breeding value of the parents, in percent of an ordinary animal.
    lays : float
        Chance that the dam lays if she is paired.
    cautions : tuple of str
        What has to be said of the pair.
    """

    sire: str
    dam: str
    inbreeding: float
    share: float
    size: Estimate | None
    lays: float
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Trade:
    """One answer between the least inbreeding and the most size, clutches split as it would be best.

    Parameters
    ----------
    kinship : float
        Mean kinship of the young.
    size : float
        Their mean breeding value, in percent of an ordinary animal.
    n_animals : int
        Animals that take part.
    """

    kinship: float
    size: float
    n_animals: int


@dataclass(frozen=True, eq=False)
class LineBreeding:
    """Who of a line should breed in a season, and how much.

    Parameters
    ----------
    line : str
        Name.
    year : int
        Season.
    clutches : int
        Clutches planned.
    is_by_size : bool
        Whether size was sought; False where no breeding values tell the animals apart and the least kinship was.
    rate, least_share, inbreeding_at_most : float
        As asked.
    pairs : tuple of LineClutch
        Clutches.
    breeders : tuple of Breeder
        Animals of the line that can breed, those with most clutches first.
    waiting : tuple of (str, str)
        Animals of the line that cannot, each with the reason.
    least_kinship : float
        Least mean kinship of the young that was found for whole clutches.
    limit, kinship : float
        Limit on it, and that of the clutches planned.
    share : float
        Mean share of the line in the young.
    size : Estimate or None
        Mean breeding value of the young, in percent of an ordinary animal.
    best_size : float or None
        The same of the best contributions at the limit, if clutches could be split.
    could_gain : float
        What better clutches within the limits could gain at most, in percent; 0 where these are proven best.
    trades : tuple of Trade
        From the least inbreeding to the most size; empty without sizes.
    percent_costs : float or None
        Rise of the mean kinship for one more percent of size at the limit; None where the limit does not bind.
    notes : tuple of str
        What it rests on.
    """

    line: str
    year: int
    clutches: int
    is_by_size: bool
    rate: float
    least_share: float
    inbreeding_at_most: float
    pairs: tuple[LineClutch, ...]
    breeders: tuple[Breeder, ...]
    waiting: tuple[tuple[str, str], ...]
    least_kinship: float
    limit: float
    kinship: float
    share: float
    size: Estimate | None
    best_size: float | None
    could_gain: float
    trades: tuple[Trade, ...]
    percent_costs: float | None
    notes: tuple[str, ...] = ()

    @property
    def n_taking_part(self) -> int:
        """Animals that have a clutch."""
        return sum(one.clutches > 0 for one in self.breeders)

    def as_json(self) -> dict[str, Any]:
        """The keys of `holdback line`."""
        return {
            "line": self.line,
            "year": self.year,
            "clutches": self.clutches,
            "by": "size" if self.is_by_size else "least kinship",
            "rate": self.rate,
            "least_share": self.least_share,
            "inbreeding_at_most": self.inbreeding_at_most,
            "pairs": [_clutch(one) for one in self.pairs],
            "animals": [_breeder(one) for one in self.breeders],
            "waiting": dict(self.waiting),
            "least_kinship": self.least_kinship,
            "limit": self.limit,
            "kinship": self.kinship,
            "share": self.share,
            "size_percent": _estimate(self.size),
            "could_gain_percent": self.could_gain,
            "trades": [
                {"kinship": one.kinship, "size_percent": one.size, "animals": one.n_animals} for one in self.trades
            ],
            "one_percent_costs": self.percent_costs,
            "notes": list(self.notes),
        }


def _estimate(one: Estimate | None) -> dict[str, Any] | None:
    return None if one is None else estimate_as_json(one)


def _clutch(one: LineClutch) -> dict[str, Any]:
    return {
        "sire": one.sire,
        "dam": one.dam,
        "inbreeding": one.inbreeding,
        "share": one.share,
        "size_percent": _estimate(one.size),
        "lays": one.lays,
        "cautions": list(one.cautions),
    }


def _breeder(one: Breeder) -> dict[str, Any]:
    return {
        "animal": one.animal,
        "sex": str(one.sex),
        "share": one.share,
        "size_percent": _estimate(one.size),
        "kinship": one.kinship,
        "best_part": one.part,
        "clutches": one.clutches,
        "clutches_at_most": one.clutches_at_most,
    }
