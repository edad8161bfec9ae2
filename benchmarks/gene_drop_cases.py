"""E1, E2: genes dropped along whole chromosomes through ten generations."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterator
from functools import partial

import gene_drop_peer
import generator
import measuring
import numpy as np
import numpy.typing as npt

from holdback.descent.gene_drop import drop_segments, drop_shares
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.shares import LineFounder, share_moments

FloatArray = npt.NDArray[np.float64]

GENERATIONS, EACH, SIRES, DAMS = 10, 20, 4, 8
GENOME = GenomeMap.equal(18, 1.0)
ERRORS = 4.0
"""Standard errors that two means of drops may be apart."""


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """Both cases; the peer's time is taken for all of the same number of drops."""
    own, theirs = (200, 20) if short else (1000, 200)
    pedigree, asked, line = _pedigree()
    whole = {node: LineFounder(1.0, 1.0, 1.0) for node in line}
    haplotypes = [2 * node + copy for node in line for copy in range(2)]
    seeds = np.random.SeedSequence(generator.VERSION)

    def bits(replicates: int) -> FloatArray:
        seed = seeds.spawn(1)[0]
        return drop_shares(pedigree, GENOME, whole, replicates=replicates, seed=seed, nodes=asked, fast=True)

    def segments(replicates: int) -> FloatArray:
        seed = seeds.spawn(1)[0]
        dropped = drop_segments(pedigree, GENOME, replicates=replicates, seed=seed, nodes=asked, fast=True)
        return dropped.share_of(haplotypes)

    def peer(replicates: int, *, shares: bool) -> FloatArray:
        seed = int(seeds.spawn(1)[0].generate_state(1)[0] >> 1) + 1
        return gene_drop_peer.drops(pedigree, asked, line, replicates=replicates, seed=seed, shares=shares)

    exact = share_moments(pedigree, whole, GENOME, nodes=asked)
    reference = peer(100 if short else 2000, shares=True)
    for case, drop in (("E1", bits), ("E2", segments)):
        _check(case, drop(2000 if short else 5000), reference, exact.mean, exact.sd)
    calls = [
        partial(bits, own),
        partial(segments, own),
        partial(peer, theirs, shares=False),
        partial(peer, theirs, shares=True),
    ]
    times = _in_turns(calls)
    scale = own / theirs
    bare, with_share = ([scale * one for one in each] for each in times[2:])
    for case, what, mine in (("E1", "share only", times[0]), ("E2", "segments with founders", times[1])):
        found = measuring.compared(case, f"{own:,} drops, 200 animals, 18 M: {what}", mine, bare)
        found.notes.update(
            ratio_with_share=statistics.median(with_share) / found.seconds, drops_per_second=own / found.seconds
        )
        yield found


def _pedigree() -> tuple[Pedigree, list[int], list[int]]:
    """Generations of few sires and more dams; the last one is asked for, two breeding females are of the line."""
    random = generator.rng("gene drop")
    parents: dict[str, tuple[str | None, str | None]] = {}
    before: list[str] = []
    for generation in range(GENERATIONS):
        now = [f"{generation}-{number}" for number in range(EACH)]
        if generation:
            sires = random.choice(before[: EACH // 2], SIRES, replace=False).tolist()
            dams = random.choice(before[EACH // 2 :], DAMS, replace=False).tolist()
            for number, name in enumerate(now):
                parents[name] = (sires[int(random.integers(SIRES))], dams[number % DAMS])
        else:
            parents |= dict.fromkeys(now, (None, None))
        before = now
    made = Pedigree.from_parents(parents)
    females = [made.index[f"0-{number}"] for number in range(EACH // 2, EACH)]
    return made, [made.index[name] for name in before], [node for node in females if made.young[node]][:2]


def _in_turns(calls: list[Callable[[], object]]) -> list[list[float]]:
    """Seconds of each call, one after the other in each repeat, all of them warm."""
    times: list[list[float]] = [[] for _ in calls]
    for _ in range(measuring.REPEATS):
        for call, seconds in zip(calls, times, strict=True):
            seconds.append(measuring.one(call, rounds=1))
    return times


def _check(case: str, found: FloatArray, peer: FloatArray, mean: FloatArray, spread: FloatArray) -> None:
    """Hold means and spreads of drops against the exact ones and the peer's."""
    width = float(((found - mean) ** 2).mean() / (spread**2).mean()) ** 0.5
    if abs(width - 1.0) > 0.03:
        raise measuring.WrongError(f"{case}: spread is {width:.3f} times the exact one")
    for what, each in (("mean", lambda drawn: drawn - mean), ("spread", lambda drawn: (drawn - mean) ** 2 - spread**2)):
        own, other = each(found).mean(axis=1), each(peer).mean(axis=1)
        errors = [one.std() / len(one) ** 0.5 for one in (own, other)]
        apart = {"exact": own.mean() / errors[0], "peer's": (own.mean() - other.mean()) / float(np.hypot(*errors))}
        for whose, off in apart.items():
            if abs(off) > ERRORS:
                raise measuring.WrongError(f"{case}: the {what} is {off:+.1f} standard errors off the {whose}")
