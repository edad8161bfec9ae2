"""How much of a line is in each animal: expected share, bounds, and the spread of the true share.

A founder has a share of the line by what is said of it. The expected share of a young is the mean of its parents';
the spread comes from `two_locus`, with doubtful founders and doubtful sires included.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.collection.estimate import Basis
from holdback.collection.model import LineClaim
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import UNKNOWN, Pedigree
from holdback.descent.two_locus import Founding, TwoLocusPlan, second_moment_table, second_moments

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LineFounder:
    """What a founder may be of a line: one of two ends.

    Parameters
    ----------
    low, high : float
        Its share of the line at the ends, in [0, 1].
    weight_high : float
        Chance of the higher end.
    basis : Basis
        Claimed, or assumed where no claim speaks of it.
    ground : str
        Who said so, on what paper; empty where no claim speaks of it.
    """

    low: float
    high: float
    weight_high: float = 0.5
    basis: Basis = Basis.CLAIMED
    ground: str = ""

    @property
    def mean(self) -> float:
        """Expected share."""
        return self.low + self.weight_high * (self.high - self.low)

    @property
    def ends(self) -> tuple[tuple[float, float], ...]:
        """Shares that it may have, with their chances."""
        if self.low == self.high or self.weight_high in (0.0, 1.0):
            return ((self.mean, 1.0),)
        return ((self.low, 1.0 - self.weight_high), (self.high, self.weight_high))


NOTHING = LineFounder(0.0, 0.0, 0.0, Basis.ASSUMED)
"""A founder with nothing of the line."""


@dataclass(frozen=True, slots=True)
class UnusedClaim:
    """A claim that says nothing new of a line.

    Parameters
    ----------
    claim : LineClaim
        The claim.
    reason : str
        One sentence.
    """

    claim: LineClaim
    reason: str


class LineFounders(Mapping[int, LineFounder]):
    """Every founder of a pedigree and what it may be of a line; -1 stands for a parent that is no node.

    Parameters
    ----------
    founders : mapping of int to LineFounder
        By node.
    not_used : sequence of UnusedClaim
        Claims that were left aside.
    """

    def __init__(self, founders: Mapping[int, LineFounder], not_used: Sequence[UnusedClaim] = ()) -> None:
        self._founders = dict(founders)
        self.not_used = tuple(not_used)

    def __getitem__(self, node: int) -> LineFounder:
        """What a founder may be of the line."""
        return self._founders[node]

    def __iter__(self) -> Iterator[int]:
        """Nodes of the founders."""
        return iter(self._founders)

    def __len__(self) -> int:
        """Number of founders, the unknown one included."""
        return len(self._founders)

    def part(self, pedigree: Pedigree, nodes: Sequence[int]) -> LineFounders:
        """The same for ``pedigree.part(nodes)``."""
        return LineFounders(renumbered(self, pedigree.ancestors(nodes)), self.not_used)


def renumbered(founders: Mapping[int, LineFounder], kept: Sequence[int]) -> dict[int, LineFounder]:
    """Founders among some nodes, by their place in the list."""
    found = {place: founders[node] for place, node in enumerate(kept) if node in founders}
    return found | ({UNKNOWN: founders[UNKNOWN]} if UNKNOWN in founders else {})


def line_founders(pedigree: Pedigree, claims: Sequence[LineClaim], line: str, *, unclaimed: float) -> LineFounders:
    """What each founder may be of a line, by claims.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    claims : sequence of LineClaim
        Of all lines.
    line : str
        Line asked for.
    unclaimed : float
        Chance, in [0, 1], that an animal of which no claim speaks is all of the line, and not nothing of it.

    Notes
    -----
    Claims on animals with a recorded parent are left aside: the parents say it. Of several claims on one founder the
    part that all allow counts; where they contradict one another, everything from the lowest to the highest.
    """
    said: dict[int, list[LineClaim]] = {}
    not_used = []
    for claim in claims:
        if claim.line != line:
            continue
        node = pedigree.index.get(claim.animal)
        if node is None:
            not_used.append(UnusedClaim(claim, f"{claim.animal} is not in the pedigree."))
        elif not pedigree.is_founder[node]:
            not_used.append(UnusedClaim(claim, f"{claim.animal} has recorded parents; its share follows from them."))
        else:
            said.setdefault(node, []).append(claim)
    silent = LineFounder(0.0, 1.0, unclaimed, Basis.ASSUMED) if unclaimed else NOTHING
    found = dict.fromkeys(np.flatnonzero(pedigree.is_founder).tolist(), silent)
    found |= {node: _said(each) for node, each in said.items()}
    return LineFounders({**found, UNKNOWN: silent}, not_used)


def _said(claims: Sequence[LineClaim]) -> LineFounder:
    """What claims on one founder leave."""
    grounds = [claim.ground.rstrip(".") for claim in claims if claim.ground]
    ground = "; ".join(dict.fromkeys(grounds)) or "Claimed, with no ground given"
    low, high = max(claim.share_low for claim in claims), min(claim.share_high for claim in claims)
    if low > high:
        low, high = min(claim.share_low for claim in claims), max(claim.share_high for claim in claims)
        ground += ". The claims contradict one another; anything between them counts"
    return LineFounder(low, high, 0.5, Basis.CLAIMED, ground)


def carried_down(pedigree: Pedigree, of_founders: Mapping[int, FloatArray], width: int) -> FloatArray:
    """Values of founders averaged down the pedigree, shape (n, width); founders left out count as zero."""
    found = np.zeros((len(pedigree), width))
    unknown = of_founders.get(UNKNOWN, np.zeros(width))
    missing = (pedigree.parents == UNKNOWN).sum(axis=1)
    for node in range(len(pedigree)):
        if pedigree.is_founder[node]:
            found[node] = of_founders.get(node, 0.0)
            continue
        for source, coefficient in pedigree.sources(node):
            found[node] += coefficient * found[source]
        if node not in pedigree.candidates:
            found[node] += 0.5 * missing[node] * unknown
    return found


def share_means(pedigree: Pedigree, founders: Mapping[int, LineFounder]) -> FloatArray:
    """Expected share of the line of each node, shape (n,), in [0, 1]; exact.

    Examples
    --------
    >>> p = Pedigree.from_parents({"K": ("S", "D")})
    >>> share_means(p, {p.index["S"]: LineFounder(0.5, 1.0)})[p.index["K"]].item()
    0.375
    """
    return carried_down(pedigree, {node: np.array([one.mean]) for node, one in founders.items()}, 1)[:, 0]


def share_bounds(pedigree: Pedigree, founders: Mapping[int, LineFounder]) -> FloatArray:
    """Least and most that the expected share of each node may be, shape (n, 2).

    Notes
    -----
    Claims at their ends; founders without a claim and parents that are not known anything from none to all; a doubtful
    sire whichever of his candidates has least, or most.
    """
    found = np.tile([0.0, 1.0], (len(pedigree) + 1, 1))  # the last row is where index -1 points
    for node in range(len(pedigree)):
        if node in pedigree.candidates:
            males = found[[one for one, weight in pedigree.candidates[node] if weight > 0]]
            found[node] = males[:, 0].min(), males[:, 1].max()
        elif not pedigree.is_founder[node]:
            found[node] = found[pedigree.parents[node]].mean(axis=0)
        elif node in founders and founders[node].ground:
            found[node] = founders[node].low, founders[node].high
    return found[:-1]


def ancestry(pedigree: Pedigree, founders: Mapping[int, LineFounder]) -> FloatArray:
    """Share of the ancestry of each node by kind, shape (n, 3), rows summing to 1.

    Returns
    -------
    float array, shape (n, 3)
        Leading to founders of which a claim speaks; to founders on record without a claim; to parents not on record.
    """
    kinds: dict[int, FloatArray] = {UNKNOWN: np.array([0.0, 0.0, 1.0])}
    for node in np.flatnonzero(pedigree.is_founder).tolist():
        is_stated = node in founders and bool(founders[node].ground)
        kinds[node] = np.eye(3)[0 if is_stated else 1 if pedigree.on_record[node] else 2]
    return carried_down(pedigree, kinds, 3)


def constants(pedigree: Pedigree, founders: Mapping[int, LineFounder]) -> FloatArray:
    """0 for nodes that have nothing of the line whatever holds, 1 for nodes all of it, NaN for the rest, shape (n,)."""
    ends = {
        node: np.array([min(end for end, _ in one.ends), max(end for end, _ in one.ends)])
        for node, one in founders.items()
    }
    reach = carried_down(pedigree, ends, 2)
    found: FloatArray = np.where(reach[:, 1] == 0.0, 0.0, np.where(reach[:, 0] == 1.0, 1.0, np.nan))
    return found


def founding_of(plan: TwoLocusPlan, scenarios: Sequence[Mapping[int, LineFounder]]) -> Founding:
    """Moments of the founders of a plan, scenario by scenario.

    Notes
    -----
    A founder with share s is taken to have one haplotype of the line and the other with chance 2 s - 1, or, up to one
    half, one with chance 2 s and the other none of it, for each chromosome by itself: at linked places W = s and
    C = max(0, 2 s - 1); on different chromosomes W = C = s * s, in the sum that counts.
    """
    kinds = dict.fromkeys(one for each in scenarios for one in each.values())
    moments = {one: _moments(one) for one in (*kinds, NOTHING)}
    table = np.array([[moments[each.get(node, NOTHING)] for node in plan.founders] for each in scenarios])
    table = table.reshape(len(scenarios), len(plan.founders), 4)
    return Founding(table[:, :, 0], table[:, :, 1], table[:, :, 2], table[:, :, 3])


def _moments(one: LineFounder) -> list[float]:
    """Mean, W and C at linked places, W = C at places on different chromosomes."""
    of_ends = [(chance, (s, s, max(0.0, 2 * s - 1), s * s)) for s, chance in one.ends]
    return [sum(chance * moments[kind] for chance, moments in of_ends) for kind in range(4)]


@dataclass(frozen=True, eq=False)
class ShareMoments:
    """Mean and spread of the true shares of some nodes.

    Parameters
    ----------
    mean, sd : float array, shape (k,)
        Expected share and its standard deviation.
    covariance : float array, shape (k, k)
        Between the true shares.
    sd_short, sd_long : float array, shape (k,)
        Standard deviation if the map is as short, or as long, as it may be.
    """

    mean: FloatArray
    sd: FloatArray
    covariance: FloatArray
    sd_short: FloatArray
    sd_long: FloatArray


def share_moments(
    pedigree: Pedigree,
    founders: Mapping[int, LineFounder],
    genome: GenomeMap,
    *,
    nodes: Sequence[int] | None = None,
) -> ShareMoments:
    """Mean, spread and covariance of true shares, with doubtful founders, doubtful sires and the doubtful map included.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    founders : mapping of int to LineFounder
        By node; who is left out has nothing of the line. The entry -1 is for parents that are not known, each one by
        itself.
    genome : GenomeMap
        Chromosomes; the variance is averaged over the doubt about the map.
    nodes : sequence of int, optional
        Nodes wanted; all if not given.

    Notes
    -----
    Exact without interference. Memory is two tables of all ancestors that may carry the line without being all of it,
    16 n n bytes; time grows as n n times half the generations.
    """
    wanted = list(range(len(pedigree))) if nodes is None else list(nodes)
    kept = pedigree.ancestors(wanted)
    part, here = pedigree.part(wanted), renumbered(founders, kept)
    place = np.searchsorted(kept, wanted)
    plan = TwoLocusPlan.of(part, constants(part, here))
    rows = plan.row[place]
    founding = founding_of(plan, [here])
    mean = share_means(part, here)[place]
    covariance = second_moment_table(plan, founding, genome, rows) - np.outer(mean, mean)
    covariance[np.abs(covariance) < 1e-15] = 0.0
    short, long = (
        _sd(second_moments(plan, founding, genome.scaled(scale), rows)[0], mean)
        for scale in (genome.scale_low, genome.scale_high)
    )
    return ShareMoments(mean, _sd(np.diag(covariance) + mean**2, mean), covariance, short, long)


def _sd(second: FloatArray, mean: FloatArray) -> FloatArray:
    """Standard deviation from the second moment; rounding errors of a constant are no spread."""
    variance = second - mean**2
    found: FloatArray = np.sqrt(np.where(variance < 1e-14, 0.0, variance))
    return found
