"""Inputs of the cases: made anew each time, the same for one `VERSION`.

Each role (the factors of one case, the animals of the herd, the pairs asked) has a seed sequence of its own, so that a
change to one leaves the others as they were.
"""

from __future__ import annotations

from zlib import crc32

import numpy as np

from holdback.collection.model import Animal, Candidate, PartialDate, Records, Sex

VERSION = 1
"""Raise it with every change to what is made; figures of different versions are not to be compared."""

GENES = (
    "Pastel",
    "Clown",
    "het Clown",
    "het Piebald",
    "66% het Piebald",
    "Mojave",
    "Enchi",
    "Pastel Enchi het Clown",
    "Yellow Belly 50% het Clown",
    "Spotnose",
    "Pinstripe",
    "Normal",
)


def rng(role: str) -> np.random.Generator:
    """Random numbers of one role."""
    return np.random.default_rng(np.random.SeedSequence([VERSION, crc32(role.encode())]))


def factors(case: str, loci: int, *, three_looks: int) -> list[list[float]]:
    """Chances of the looks at each of some independent loci of one cross.

    Loci with three looks are incomplete dominants, one copy on either side (1:2:1), or with a doubtful parent; the
    others are 1:1, 3:1, or a visual recessive with a possible het.
    """
    random = rng(f"factors {case}")
    found = []
    for locus in range(loci):
        sure = float(random.uniform(0.1, 0.9))
        if locus < three_looks:
            one, two = 0.25 + 0.25 * sure, 0.25 * sure
            found.append([0.25, 0.5, 0.25] if locus % 2 else [1.0 - one - two, one, two])
        else:
            found.append([[0.5, 0.5], [0.75, 0.25], [1.0 - sure / 2, sure / 2]][locus % 3])
    random.shuffle(found)
    return found


def herd(animals: int, *, seasons: int = 10) -> Records:
    """An invented herd: each season bred from the two before it by few males and many females."""
    random = rng("herd")
    each = animals // seasons
    made: list[Animal] = []
    for season in range(seasons):
        earlier = made[max(0, season - 2) * each :]
        males = [animal.id for animal in earlier if animal.sex is Sex.MALE]
        females = [animal.id for animal in earlier if animal.sex is Sex.FEMALE]
        males = [str(name) for name in random.permutation(males)[: max(1, each // 50)]]
        for number in range(each):
            made.append(
                Animal(
                    id=f"B{season:02}-{number:04}",
                    sex=Sex.MALE if random.random() < 0.5 else Sex.FEMALE,
                    hatched=PartialDate(2010 + 2 * season, 8),
                    sires=(Candidate(str(random.choice(males)), 1.0),) if season else (),
                    dam=females[int(random.integers(len(females)))] if season else None,
                    genes=GENES[int(random.integers(len(GENES)))],
                )
            )
    return Records(animals=tuple(made))


def pairs(males: list[str], females: list[str], count: int) -> list[tuple[str, str]]:
    """Pairs to ask for."""
    random = rng("pairs")
    return [
        (males[int(random.integers(len(males)))], females[int(random.integers(len(females)))]) for _ in range(count)
    ]
