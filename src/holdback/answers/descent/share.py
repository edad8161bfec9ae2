"""How much of a line an animal carries, with how that is known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.collection.estimate import Basis, Estimate

if TYPE_CHECKING:
    from holdback.descent.share_distribution import ShareDistribution


@dataclass(frozen=True, slots=True)
class Carried:
    """What part of an animal's ancestry leads to one founder.

    Parameters
    ----------
    animal : str
        Id of the founder; the id of a parent that is not on record begins with ``?``.
    part : float
        Expected part of the ancestry, in [0, 1].
    low, high : float
        Ends of the founder's own share of the line.
    ground : str
        What is said of the founder.
    """

    animal: str
    part: float
    low: float
    high: float
    ground: str

    @property
    def is_stated(self) -> bool:
        """Whether a claim speaks of the founder."""
        return bool(self.ground)


@dataclass(frozen=True)
class LineShare:
    """Share of one line in one animal, all in [0, 1].

    Parameters
    ----------
    animal, line : str
        Id (empty for young not yet bred) and name of the line.
    mean, sd : float
        Expected share, and the spread of the true share about it: chance in meiosis, doubtful claims and doubtful
        sires together.
    low, high : float
        90 % range of the true share.
    bound_low, bound_high : float
        Least and most that the expected share may be: claims at their ends, animals of which nobody speaks and parents
        that are not on record anything from none to all, a doubtful sire any of his candidates.
    unknown : float
        Part of the ancestry of which no claim speaks.
    off_record : float
        Part of it that leads to parents that are not on record.
    basis : Basis
        The nearest step: claimed for a founder, by descent else, assumed where no claim speaks.
    ground : str
        One sentence.
    carried : tuple of Carried
        Founders from which the animal descends, the largest part first.
    distribution : ShareDistribution
        Law of the true share.
    """

    animal: str
    line: str
    mean: float
    sd: float
    low: float
    high: float
    bound_low: float
    bound_high: float
    unknown: float
    off_record: float
    basis: Basis
    ground: str
    carried: tuple[Carried, ...]
    distribution: ShareDistribution

    @property
    def is_certain(self) -> bool:
        """Whether the records leave nothing open but whether they are true."""
        return self.sd == 0.0

    def estimate(self) -> Estimate:
        """The share in percent with its 90 % range."""
        low, high = min(self.low, self.mean), max(self.high, self.mean)
        return Estimate(100 * self.mean, 100 * low, 100 * high, "%", self.basis, self.ground)

    def as_json(self) -> dict[str, Any]:
        """Mean, spread, range, bounds, what is unknown, how it is known."""
        return {
            "mean": self.mean,
            "sd": self.sd,
            "low": self.low,
            "high": self.high,
            "bound_low": self.bound_low,
            "bound_high": self.bound_high,
            "unknown": self.unknown,
            "off_record": self.off_record,
            "basis": str(self.basis),
            "ground": self.ground,
        }
