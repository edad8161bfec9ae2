"""C2, C5 to C8: beliefs of a whole collection, from records to the last posterior."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

import beliefs
import beliefs_peer
import generator
import measuring
import numpy as np
import whole_collection

from holdback.collection.collection import Collection
from holdback.demo_data import folder
from holdback.descent.family import Family
from holdback.heredity.beliefs import Beliefs, Evidence, LocusEvidence, evidence_of, infer
from holdback.heredity.beliefs.memory import Memory
from holdback.species import load

SAME = 1e-10
CHANGED = 5
"""Animals whose look is changed, each from the same start."""


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """All cases."""
    yield _many_alleles(40 if short else 200)
    yield _all_loci("C5", beliefs.pedigree(150), limit=0.1, by_peer=True)
    large = beliefs.pedigree(400 if short else 2000)
    yield _all_loci("C6", large, limit=1.0, by_peer=False)
    yield _changed_look(large)
    yield _read()


def worked_out(family: Family, evidence: Evidence, memory: Memory | None = None) -> Beliefs:
    """Beliefs with every locus calibrated. Nothing that the inputs keep of an earlier call is used."""
    anew = replace(evidence, loci={key: replace(locus) for key, locus in evidence.loci.items()})
    found = infer(replace(family), anew, memory=memory)
    for unit in found.units:
        for locus in anew.loci:
            unit.part(locus)
    return found


def _many_alleles(animals: int) -> measuring.Measured:
    """One gene of eight alleles, every record of which may be wrong; the peer knows all 36 genotypes apart."""
    drawn = beliefs.pedigree(animals)
    family, evidence = whole_collection.family_of(drawn), whole_collection.of_one_gene(drawn, 8)
    own = partial(worked_out, family, evidence)
    peer, built = _peer(drawn, evidence.loci["gene"])
    difference = _difference(own(), drawn, "gene", peer())
    mine, theirs = measuring.alternate(own, peer, rounds=(5, 1))
    what = f"eight alleles, records may err, {len(drawn.parents)} animals"
    found = measuring.compared("C2", what, mine, theirs)
    found.notes.update(peer_build_seconds=built, difference=difference)
    return found


def _peer(drawn: beliefs.Pedigree, locus: LocusEvidence) -> tuple[Callable[[], beliefs.FloatArray], float]:
    """The same locus in pyAgrum, and the seconds that its network took to build."""
    start = time.perf_counter()
    founder, inherited = whole_collection.chances(locus.frequencies)
    spoken = beliefs.Pedigree(drawn.parents, whole_collection.said_of_genotypes(locus))
    net = beliefs_peer.network(spoken, founder, inherited)
    built = time.perf_counter() - start
    return lambda: beliefs_peer.marginals(beliefs_peer.inference(net, spoken), spoken), built


def _difference(found: Beliefs, drawn: beliefs.Pedigree, locus: str, theirs: beliefs.FloatArray) -> float:
    """Largest difference of a breeder's chances from the peer's; refused where it is more than rounding."""
    worst = 0.0
    for animal, chances in zip(drawn.breeders, theirs, strict=True):
        name = whole_collection.name_of(animal)
        part = found.part(name, locus)
        states = part.states(name)
        of_state = np.zeros(states.size)
        np.add.at(of_state, whole_collection.state_of_genotypes(states.partition, states.pairs), chances)
        worst = max(worst, float(np.abs(of_state - part.posterior(name)).max()))
    if worst > SAME:
        raise measuring.WrongError(f"chances at {locus} differ from the peer's by {worst:.3g}")
    return worst


def _all_loci(case: str, drawn: beliefs.Pedigree, *, limit: float, by_peer: bool) -> measuring.Measured:
    """All loci of the species; one of each number of alleles is held against itself alone, and against pyAgrum."""
    family, evidence = whole_collection.family_of(drawn), whole_collection.of_species(drawn)
    found = worked_out(family, evidence)
    few = {locus.n_alleles: key for key, locus in evidence.loci.items() if locus.linkage is None}
    for key in few.values():
        if by_peer:
            _difference(found, drawn, key, _peer(drawn, evidence.loci[key])[0]())
        alone = worked_out(family, replace(evidence, loci={key: evidence.loci[key]}))
        _same(case, found, alone, key)
    seconds, processor = _timed(partial(worked_out, family, evidence))
    what = f"all {len(evidence.loci)} loci of {len(drawn.parents):,} animals"
    return measuring.alone(case, what, seconds, limit=limit, processor_seconds=processor)


def _same(case: str, found: Beliefs, expected: Beliefs, locus: str) -> None:
    """Refuse beliefs at one locus that differ from those found another way."""
    for animal in found.family.sexes:
        mine, theirs = (each.part(animal, locus).posterior(animal) for each in (found, expected))
        if float(np.abs(mine - theirs).max()) > SAME:
            raise measuring.WrongError(f"{case}: {animal} at {locus} differs when worked out another way")


def _timed(call: Callable[[], object]) -> tuple[list[float], float]:
    """Seconds of some calls, and the median of their processor seconds."""
    elapsed, worked = [], []
    for _ in range(measuring.REPEATS):
        start, before = time.perf_counter(), time.process_time()
        call()
        elapsed.append(time.perf_counter() - start)
        worked.append(time.process_time() - before)
    return elapsed, statistics.median(worked)


def _changed_look(drawn: beliefs.Pedigree) -> measuring.Measured:
    """One look is changed and everything asked for again, with what was worked out before in memory."""
    family, evidence = whole_collection.family_of(drawn), whole_collection.of_species(drawn)
    memory = Memory()
    worked_out(family, evidence, memory)
    changes = [
        whole_collection.one_look_changed(evidence, whole_collection.name_of(animal))
        for animal in np.linspace(1, len(drawn.parents) - 1, CHANGED).astype(int).tolist()
    ]
    elapsed, worked = [], []
    for changed, locus in changes:
        start, before = time.perf_counter(), time.process_time()
        found = worked_out(family, changed, memory)
        elapsed.append(time.perf_counter() - start)
        worked.append(time.process_time() - before)
        _same("C7", found, worked_out(family, changed), locus)
    what = f"one look of {len(drawn.parents):,} animals changed"
    return measuring.alone("C7", what, elapsed, limit=0.25, processor_seconds=statistics.median(worked))


def _read() -> measuring.Measured:
    """What the records say, text by text; who shows one gene is found by comparing texts."""
    catalogue = load()
    collection = Collection.from_records(generator.herd(2000))
    family = Family.from_collection(collection)
    found = evidence_of(collection, catalogue, family)
    at_clown = found.loci["clown"].records.items()
    shows = {animal for animal, records in at_clown if any(one.words == "shows Clown" for one in records)}
    if shows != {animal.id for animal in collection.animals.values() if animal.genes == "Clown"}:
        raise measuring.WrongError("C8: those that show Clown are not those described so")
    seconds, processor = _timed(lambda: evidence_of(collection, catalogue, family))
    demo = Collection.from_folder(folder() / "collection")
    family_of_demo = Family.from_collection(demo)
    of_demo, _ = _timed(lambda: evidence_of(demo, catalogue, family_of_demo))
    return measuring.alone(
        "C8",
        f"reading the genes of {len(collection.animals):,} animals",
        seconds,
        limit=0.5,
        processor_seconds=processor,
        demo_seconds=statistics.median(of_demo),
    )
