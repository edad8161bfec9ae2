"""Blocked sampling for graphs too wide to calculate exactly.

A sweep chooses one of several sets of variables to hold fixed, calculates all others exactly given those and draws them
jointly; every few sweeps their exact chances are added to the averages. Chains run side by side and share only the
choice of the sets.

States that follow one another are correlated, so stretches of one chain alone make the error look too small: it is
taken as the larger of what chains and what stretches of time disagree by. It is an estimate itself. Within a run all
chances err together, so that the share outside the band is far from even between runs.

References
----------
Jensen, Kong & Kjaerulff (1995), Blocking Gibbs sampling in very large probabilistic expert systems.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import prod

import numpy as np
import numpy.typing as npt

from holdback.heredity.network.blocks import FreeBlock
from holdback.heredity.network.breakers import breaker_sets
from holdback.heredity.network.draws import Digits
from holdback.heredity.network.elimination import TooWide
from holdback.heredity.network.graph import FloatArray, Graph, IntArray
from holdback.heredity.network.inputs import TINY

SWEEPS = 250
"""Sweeps of a round, and of the burn-in."""
FEWEST_ROUNDS = 4
"""Rounds that must count before the chains can be called settled."""
SETTLED_ERRORS = 2.5
"""Standard errors that have to fit into the tolerance."""
READ = 5
"""Sweeps from one at which exact chances are added up to the next; those between would add little but time."""
KEEP = 25
"""Sweeps from one state that is kept to the next."""
SEARCH = 300
"""Sweeps in which a start has to be found."""
SOFTEST = 1e-3
"""What stands for an impossible entry, as a share of the largest in its table, while a start is looked for."""


class Cancelled(Exception):
    """The caller asked to stop before the sampler was done."""


class NoStartError(Exception):
    """No state was found that all factors allow."""


@dataclass(frozen=True)
class Rule:
    """When to stop, and what to say of the error.

    Parameters
    ----------
    n_chains : int
        Chains run side by side.
    tolerance : float
        Settled when 2.5 standard errors are at most this for every chance.
    most_rounds : int
        Rounds of 250 sweeps after which to give up.
    errors, margin : float
        A chance is said to be right within ``errors * standard error + margin``.
    """

    n_chains: int
    tolerance: float
    most_rounds: int
    errors: float
    margin: float

    def __post_init__(self) -> None:
        assert self.n_chains > 1, "one chain cannot be compared with another"
        assert self.most_rounds > FEWEST_ROUNDS, "the first quarter of the rounds does not count"


LOOSE = Rule(n_chains=8, tolerance=0.02, most_rounds=24, errors=2.5, margin=0.001)
"""For a page that is looked at and asked for again."""
STRICT = Rule(n_chains=16, tolerance=0.01, most_rounds=40, errors=3.0, margin=0.003)
"""For what is printed or sent to somebody else."""


@dataclass(frozen=True)
class Sampled:
    """Chances as estimated, with their standard errors.

    Parameters
    ----------
    marginals : list of float array, each of shape (1, size)
        Chance of each state of every variable.
    standard_errors : list of float array, each of shape (1, size)
        Standard error of each chance.
    settled : bool
        Whether the rule was met. If not, the errors may be larger than they look.
    sweeps : int
        Sweeps of each chain, with the burn-in.
    rule : Rule
        The rule used.
    worst : tuple of float
        Largest standard error after each round from which it could be told.
    draws : int array, shape (n_draws, n_variables)
        Joint states, one of every chain every 25 sweeps of the rounds that count. Draws of one chain are correlated.
    """

    marginals: list[FloatArray]
    standard_errors: list[FloatArray]
    settled: bool
    sweeps: int
    rule: Rule
    worst: tuple[float, ...]
    draws: npt.NDArray[np.int16]
    _clusters: dict[tuple[int, ...], tuple[FloatArray, FloatArray]]

    def marginal(self, variable: int) -> FloatArray:
        """Chance of each state of a variable, shape (1, size)."""
        return self.marginals[variable]

    def cluster(self, variables: tuple[int, ...]) -> FloatArray:
        """Joint chances of a cluster the sampler was asked for, shape (1, sizes); KeyError for another."""
        return self._clusters[variables][0]

    def band(self, variables: tuple[int, ...]) -> FloatArray:
        """Half-width of the band about the chances of a variable or a cluster, shape (1, sizes)."""
        return self.rule.errors * self._clusters[variables][1] + self.rule.margin


class Sampler:
    """Blocks of one graph; made once, used with any number of table sets.

    Parameters
    ----------
    graph : Graph
        Variables and factors.
    rng : numpy.random.Generator
        Source of random numbers for the choice of the blocks.
    clusters : sequence of tuple of int
        Sets of variables, each within one factor, whose joint chances are wanted too.
    n_pairs : int
        Pairs of sets of variables held fixed in turn.
    clique_entries : int
        Entries of the largest clique of a block; threefold and ninefold are tried where that does not do.

    Raises
    ------
    TooWide
        If blocks of that size would need some variable to be held fixed in more than half of the sets.
    """

    def __init__(
        self,
        graph: Graph,
        rng: np.random.Generator,
        *,
        clusters: Sequence[tuple[int, ...]] = (),
        n_pairs: int = 6,
        clique_entries: int = 729,
    ) -> None:
        self.graph = graph
        self._clusters = [*dict.fromkeys([*((variable,) for variable in range(len(graph.sizes))), *clusters])]
        joined = Graph(graph.sizes, graph.scopes, tuple(self._clusters))
        self.breakers = _sets(joined, rng, n_pairs, clique_entries)
        self._blocks = [FreeBlock(graph, breakers, self._clusters) for breakers in self.breakers]
        self._shapes = [tuple([graph.sizes[variable] for variable in cluster]) for cluster in self._clusters]
        lengths = [prod(shape) for shape in self._shapes]
        self._ends = np.cumsum(lengths)
        self._counted = [np.repeat(block.counted, lengths) for block in self._blocks]
        self._starts = np.cumsum([0] + [prod(graph.sizes[v] for v in scope) for scope in graph.scopes])[:-1]
        self._checks = Digits.of(list(graph.scopes), graph.sizes)

    def run(
        self,
        tables: Sequence[FloatArray],
        rng: np.random.Generator,
        *,
        rule: Rule = LOOSE,
        start: IntArray | None = None,
        progress: Callable[[float], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> Sampled:
        """Estimate the chances of all variables.

        Parameters
        ----------
        tables : sequence of float array, each of shape (1, sizes of its scope)
            Tables of the factors, with entries of at least 0.
        rng : numpy.random.Generator
            Source of random numbers.
        rule : Rule
            When to stop.
        start : int array, shape (n_variables,) or (n_chains, n_variables), optional
            States that all factors allow; looked for where not given.
        progress : callable, optional
            Told the share of the longest possible run that is done, after each round.
        cancelled : callable, optional
            Asked now and then whether to stop.

        Returns
        -------
        Sampled
            Chances, errors, and whether they are settled.

        Raises
        ------
        Cancelled
            If `cancelled` said so.
        NoStartError
            If no start was given and none was found, or the one given is impossible.
        """
        flat = self._flat(tables)
        chains = _Chains(self, flat, rng, cancelled or _never)
        chains.begin(rule.n_chains, start)
        chains.round()
        rounds: list[_Round] = []
        worst: list[float] = []
        settled = False
        while not settled and len(rounds) < rule.most_rounds:
            rounds.append(chains.round())
            if progress:
                progress(len(rounds) / rule.most_rounds)
            if len(rounds) > FEWEST_ROUNDS:
                worst.append(float(_estimate(_kept(rounds))[1].max(initial=0.0)))
                settled = SETTLED_ERRORS * worst[-1] <= rule.tolerance
        chances, errors = _estimate(_kept(rounds))
        found = dict(zip(self._clusters, zip(self._cut(chances), self._cut(errors), strict=True), strict=True))
        each = [found[(variable,)] for variable in range(len(self.graph.sizes))]
        return Sampled(
            [one[0] for one in each],
            [one[1] for one in each],
            settled,
            SWEEPS * (len(rounds) + 1),
            rule,
            tuple(worst),
            np.concatenate([one.draws for one in _kept(rounds)]),
            found,
        )

    def _flat(self, tables: Sequence[FloatArray]) -> FloatArray:
        """All tables one after the other, the largest entry of each 1."""
        assert all(len(table) == 1 for table in tables), "one problem is sampled at a time"
        return np.concatenate([np.empty(0)] + [(table / max(table.max(), TINY)).reshape(-1) for table in tables])

    def _cut(self, entries: FloatArray) -> list[FloatArray]:
        parts = np.split(entries, self._ends[:-1])
        return [part.reshape(1, *shape) for part, shape in zip(parts, self._shapes, strict=True)]


@dataclass(frozen=True)
class _Round:
    """Sums of one round, shape (n_entries, n_chains), the sweeps they count, and states on the way."""

    sums: FloatArray
    counts: FloatArray
    draws: npt.NDArray[np.int16]


class _Chains:
    """Chains on their way."""

    def __init__(
        self, sampler: Sampler, flat: FloatArray, rng: np.random.Generator, cancelled: Callable[[], bool]
    ) -> None:
        self._sampler = sampler
        self._flat = flat
        self._rng = rng
        self._cancelled = cancelled
        self._states = np.zeros((len(sampler.graph.sizes) + 1, 1), np.intp)

    def begin(self, n_chains: int, start: IntArray | None) -> None:
        """Set all chains to possible states."""
        sizes = np.array(self._sampler.graph.sizes, np.intp)
        self._states = np.zeros((len(sizes) + 1, n_chains), np.intp)
        if start is None:
            self._states[:-1] = self._rng.integers(0, sizes[:, None], (len(sizes), n_chains))
            self._search()
        else:
            self._states[:-1] = np.broadcast_to(start, (n_chains, len(sizes))).T
            if not self._possible().all():
                raise NoStartError("The start given has a chance of zero: give a state that all factors allow.")

    def _possible(self) -> npt.NDArray[np.bool_]:
        """Whether each chain stands at a state that all factors allow."""
        checks = self._sampler._checks
        places = (self._states[checks.variables] * checks.steps[:, :, None]).sum(axis=0)
        return np.asarray((self._flat[places + self._sampler._starts[:, None]] > 0.0).all(axis=0))

    def _search(self) -> None:
        """Sweep with impossible entries made improbable, ever more so, until each chain has met a possible state."""
        found, done = self._states.copy(), self._possible()
        for sweep in range(SEARCH):
            if done.all():
                break
            self._sweep(np.maximum(self._flat, SOFTEST * 0.1 ** (sweep // 30)))
            now = self._possible() & ~done
            found[:, now] = self._states[:, now]
            done |= now
        if not done.all():
            raise NoStartError(
                f"No state that all factors allow was met in {SEARCH} sweeps. The records may contradict each other: "
                "allow for errors in them, or give a start."
            )
        self._states = found

    def _sweep(self, flat: FloatArray, sums: FloatArray | None = None) -> int:
        block = int(self._rng.integers(len(self._sampler._blocks)))
        self._sampler._blocks[block].sweep(flat, self._states, sums, self._rng)
        return block

    def round(self) -> _Round:
        """One round of sweeps."""
        sampler = self._sampler
        sums = np.zeros((int(sampler._ends[-1]), self._states.shape[1]))
        times = np.zeros(len(sampler._blocks))
        draws = []
        for sweep in range(SWEEPS):
            if sweep % KEEP == 0:
                if self._cancelled():
                    raise Cancelled("The sampler was asked to stop.")
                draws.append(self._states[:-1].T.astype(np.int16))
            if sweep % READ == 0:
                times[self._sweep(self._flat, sums)] += 1
            else:
                self._sweep(self._flat)
        return _Round(sums, times @ np.array(sampler._counted, np.float64), np.concatenate(draws))


def _sets(graph: Graph, rng: np.random.Generator, n_pairs: int, clique_entries: int) -> list[frozenset[int]]:
    """Sets to hold fixed, with larger cliques where smaller ones do not do."""
    for entries in (clique_entries, 3 * clique_entries):
        try:
            return breaker_sets(graph, rng, n_pairs=n_pairs, clique_entries=entries)
        except TooWide:
            continue
    return breaker_sets(graph, rng, n_pairs=n_pairs, clique_entries=9 * clique_entries)


def _kept(rounds: list[_Round]) -> list[_Round]:
    """Rounds that count: all but the first quarter."""
    return rounds[len(rounds) // 4 :]


def _estimate(rounds: Sequence[_Round]) -> tuple[FloatArray, FloatArray]:
    """Chances, and the larger of the errors between chains and between rounds, each of shape (n_entries,)."""
    counts = np.array([one.counts for one in rounds]).T
    by_chain = sum((one.sums for one in rounds), np.zeros(1)) / counts.sum(axis=1)[:, None]
    n_chains = by_chain.shape[1]
    by_round = np.array([one.sums.mean(axis=1) for one in rounds]).T / counts
    between_chains = by_chain.std(axis=1, ddof=1) / np.sqrt(n_chains)
    between_rounds = by_round.std(axis=1, ddof=1) / np.sqrt(len(rounds))
    return by_chain.mean(axis=1), np.maximum(between_chains, between_rounds)


def _never() -> bool:
    return False
