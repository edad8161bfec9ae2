"""What cannot be crossed, and parents with their sexes filled in."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.errors import CrossError, Fault
from holdback.heredity.crosses.result import Caution
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief, ParentsJoint, Wish
from holdback.species.model import WILD

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

Settled = tuple[GenotypeBelief, GenotypeBelief, tuple[Caution, ...]]
"""A sire, a dam and what has to be said about their sexes."""

_SUM_SLACK = 1e-6


def with_sexes(sire: GenotypeBelief, dam: GenotypeBelief) -> Settled:
    """Parents with their sexes filled in, the male first, and what has to be said about it."""
    if sire.sex is not Sex.UNKNOWN and sire.sex is dam.sex:
        return sire, dam, ()  # refused by the check
    notes = []
    if sire.sex is Sex.FEMALE or dam.sex is Sex.MALE:
        sire, dam = dam, sire
        notes.append(Caution("swapped", "note", "The first of the two is the female; she is taken as the dam."))
    if Sex.UNKNOWN in (sire.sex, dam.sex):
        message = "A sex is not recorded; it is taken to fit the pairing. Sex it before you pair."
        notes.append(Caution("sex-unknown", "note", message))
    return dataclasses.replace(sire, sex=Sex.MALE), dataclasses.replace(dam, sex=Sex.FEMALE), tuple(notes)


def check(
    pairs: Sequence[Settled],
    catalogue: Catalogue,
    *,
    weights: Sequence[float],
    want: Wish | None,
    top: int,
    r: Mapping[str, float] | None = None,
    joints: Sequence[ParentsJoint] = (),
) -> None:
    """Refuse what cannot be crossed, all faults together.

    Parameters
    ----------
    pairs : sequence of Settled
        Possible pairs.
    catalogue, want, top, r
        As in `odds`.
    weights : sequence of float
        Probabilities of the pairs, or of the joints.
    joints : sequence of ParentsJoint
        What the parents may be together, where that is said.

    Raises
    ------
    CrossError
        With every fault found.
    """
    faults: list[Fault] = []
    for sire, dam, _ in pairs:
        if sire.sex is dam.sex:
            what = f"both animals are {sire.sex.value}s, so no young can come of them."
            faults.append(Fault("CRS-001", what, "Choose a male and a female, or mend the sex in the record."))
        for role, parent in (("sire", sire), ("dam", dam)):
            for locus, belief in parent.loci.items():
                faults.extend(_locus_faults(role, locus, chain(*belief), belief.values(), catalogue))
            faults.extend(_missing_faults(role, parent, joints, catalogue))
    for joint in joints:
        for locus, both in joint.loci.items():
            alleles = chain(*(mine + hers for mine, hers in both))
            faults.extend(_locus_faults("both parents", locus, alleles, both.values(), catalogue))
    if not math.isclose(math.fsum(weights), 1.0, abs_tol=_SUM_SLACK):
        faults.append(Fault("CRS-005", "the weights of the possible pairs do not sum to 1.", "Weigh every candidate."))
    if top < 1:
        faults.append(Fault("CRS-008", f"cannot list {top} looks.", "Ask for 1 or more.", field="top", value=str(top)))
    for locus in want.loci if want else ():
        if locus not in catalogue.loci:
            faults.append(Fault("CRS-002", f"{locus!r} is no gene of {catalogue.name}.", "Add it first.", field="want"))
    for locus, value in (r or {}).items():
        if not 0.0 <= value <= 0.5:
            what = f"recombination {value} lies outside 0 to 0.5."
            faults.append(Fault("CRS-009", what, "Give a fraction from 0 to 0.5.", field=locus, value=str(value)))
    if faults:
        raise CrossError(faults)


def _locus_faults(
    role: str, locus: str, alleles: Iterable[str], chances: Collection[float], catalogue: Catalogue
) -> list[Fault]:
    """What is wrong with the chances at one locus."""
    if locus not in catalogue.loci:
        return [Fault("CRS-002", f"{locus!r} is no gene of {catalogue.name}.", "Add it first.", field=role)]
    faults = []
    known = {WILD, *catalogue.loci[locus].alleles}
    for allele in sorted(set(alleles) - known):
        what = f"{allele!r} is no allele of {catalogue.loci[locus].name}."
        faults.append(Fault("CRS-003", what, "Name one of its alleles.", field=role, value=allele))
    total = math.fsum(chances)
    if abs(total - 1.0) > _SUM_SLACK or min(chances, default=0.0) < 0.0:
        what = f"the chances of its genotypes at {catalogue.loci[locus].name} sum to {total:g}, not to 1."
        faults.append(Fault("CRS-004", what, "Mend the belief.", field=role))
    return faults


def _missing_faults(
    role: str, parent: GenotypeBelief, joints: Sequence[ParentsJoint], catalogue: Catalogue
) -> list[Fault]:
    """Genes that a parent may carry of which the joint chances say nothing."""
    if not joints:
        return []
    listed = {locus for joint in joints for locus in joint.loci}
    missing = [
        locus
        for locus in parent.loci
        if locus in catalogue.loci and locus not in listed and parent.at(locus).get(WILD_PAIR, 0.0) < 1.0 - _SUM_SLACK
    ]
    return [
        Fault(
            "CRS-013",
            f"the {role} may carry {catalogue.loci[locus].name}, of which the joint chances say nothing.",
            "Give the joint chances of that gene too.",
            field=role,
            value=locus,
        )
        for locus in missing
    ]
