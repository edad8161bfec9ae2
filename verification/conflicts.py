"""How many wrong sires are found among the records of drawn herds, and how many false alarms there are.

What a herd's look errors and sires in doubt lead to is no false alarm of itself: a look that is written down wrongly is
a wrong record too. So alarms are told by whether a record that they name is wrong in any way.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from verification.genes import common_species
from verification.herds import Herd, herd
from verification.records import written, wrong_sires

from holdback.answers.conflicts import Conflict, score
from holdback.heredity.beliefs.evidence import RecordKind

ANIMALS = 80
WRONG = 0.03
"""Share of recorded sires that are wrong; more than in a good herd book, so that there is something to find."""


@dataclass(frozen=True, slots=True)
class Found:
    """What was told of all herds.

    Parameters
    ----------
    wrong : int
        Clutches with a wrong sire on record.
    found, answered : int
        Those that some explanation names, and those whose true sire the likeliest explanation names.
    told : int
        Contradictions told.
    false : int
        Contradictions that concern no wrong record, neither of a sire nor of a look.
    animals : int
        Animals of all herds.
    """

    wrong: int
    found: int
    answered: int
    told: int
    false: int
    animals: int

    def __str__(self) -> str:
        """One sentence."""
        return (
            f"Of {self.wrong} wrong sires {self.found} were found and {self.answered} rightly named; of {self.told} "
            f"contradictions told {self.false} concerned no wrong record ({self.animals:,} animals)."
        )


def found_in(herds: int, seed: int) -> Found:
    """What is found in some herds."""
    totals, species = np.zeros(6, dtype=int), common_species()
    for one in np.random.SeedSequence(seed).spawn(herds):
        drawn = herd(one, ANIMALS, wrong_sires=WRONG)
        truth = wrong_sires(drawn)
        scored = score(written(drawn), truth, catalogue=species)
        false = [alarm for alarm in scored.false_alarms if not _has_wrong_look(drawn, alarm)]
        totals += [
            len(truth),
            len(scored.found),
            len(scored.answered),
            scored.told,
            len(false),
            len(drawn.family.sexes),
        ]
    return Found(*totals.tolist())


def _has_wrong_look(drawn: Herd, alarm: Conflict) -> bool:
    """Whether a look of an animal that is named is written down wrongly."""
    return any(
        record.kind is RecordKind.LOOK and bool(record.wrong[drawn.truth.genotypes[locus.key][animal]])
        for locus in drawn.evidence.loci.values()
        for animal in alarm.animals
        for record in locus.records.get(animal, ())
    )
