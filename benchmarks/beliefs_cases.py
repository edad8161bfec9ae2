"""C1, C3, C4: genotype chances of all breeders of a pedigree, exact and sampled."""

from __future__ import annotations

import time
from collections.abc import Iterator

import beliefs
import beliefs_peer
import generator
import measuring
import numpy as np

from holdback.heredity.network import LOOSE, Plan, Sampler

SAME = 1e-10
SAMPLED = 0.05
"""What no sampled chance may be off by."""


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """All cases."""
    yield _exact("C1", 2000 if short else 20000, line=beliefs.LINE, rounds=(20, 2) if short else (5, 1))
    wide = 475 if short else 550
    yield _exact("C3", wide, line=wide, rounds=(1, 1))
    if not short:
        yield _sampled(380)


def _exact(case: str, animals: int, *, line: int, rounds: tuple[int, int]) -> measuring.Measured:
    """All marginals of the breeders against pyAgrum's lazy propagation; plan and network are made before the clock."""
    pedigree = beliefs.pedigree(animals, line=line)
    start = time.perf_counter()
    graph, tables = beliefs.problem(pedigree)
    plan = Plan(graph)
    planned = time.perf_counter() - start
    start = time.perf_counter()
    net = beliefs_peer.network(pedigree)
    built = time.perf_counter() - start

    def own() -> beliefs.FloatArray:
        return np.concatenate(plan.calibrate(tables).marginals())

    def peer() -> beliefs.FloatArray:
        return beliefs_peer.marginals(beliefs_peer.inference(net, pedigree), pedigree)

    difference = float(np.abs(own() - peer()).max())
    if difference > SAME:
        raise measuring.WrongError(f"{case}: chances differ from the peer's by {difference:.3g}")
    mine, theirs = measuring.alternate(own, peer, rounds=rounds)
    what = f"genotypes of {len(graph.sizes):,} breeders of {len(pedigree.parents):,}, width {plan.width}"
    found = measuring.compared(case, what, mine, theirs)
    found.notes.update(plan_seconds=planned, peer_build_seconds=built, entries=plan.entries, difference=difference)
    return found


def _sampled(animals: int) -> measuring.Measured:
    """A colony bred as one line, sampled though it could be calculated, so that the error is known."""
    graph, tables = beliefs.problem(beliefs.pedigree(animals, line=animals))
    exact = np.concatenate(Plan(graph).calibrate(tables).marginals())
    start = time.perf_counter()
    sampler = Sampler(graph, generator.rng("breakers"), clique_entries=243)
    built = time.perf_counter() - start
    start = time.perf_counter()
    found = sampler.run(tables, generator.rng("chains"), rule=LOOSE)
    seconds = time.perf_counter() - start
    errors = np.abs(np.concatenate(found.marginals) - exact)
    if errors.max() > SAMPLED:
        raise measuring.WrongError(f"C4: a chance is off by {errors.max():.3g}")
    bands = np.concatenate([found.band((variable,)) for variable in range(len(graph.sizes))])
    return measuring.alone(
        "C4",
        f"the same sampled, {len(graph.sizes)} breeders of a closed colony",
        [seconds],
        limit=20.0,
        blocks_seconds=built,
        sweeps=found.sweeps,
        settled=float(found.settled),
        worst_error=float(errors.max()),
        within_band=float((errors <= bands).mean()),
    )
