"""How good it is to bring a gene, by look: tags that build on each other and trade names that come within reach.

score = sum over tag pairs of their weight (halved where the gene is hard to see)
      + sum over trade names with the gene and something the animal has of 3 / (1 + genes still missing)
      - 2 for a recessive - 2 where the young hide other genes - 3 for a pairing that needs a word.
All weights are assumed and stand in the species file.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from holdback.decisions.ideas.carried import Animal, Carried, is_recessive
from holdback.decisions.ideas.result import NamedCombo
from holdback.species.model import WILD, Combo, Ease, Pair


@dataclass(frozen=True, slots=True)
class TagMatch:
    """A tag that a gene brings, and the tag of the animal that it goes with."""

    has: str
    brings: str
    weight: float
    is_hard: bool
    carried: Carried


@dataclass(frozen=True, slots=True)
class Scored:
    """A gene with what speaks for and against it.

    Parameters
    ----------
    allele : str
        Standing key.
    score : float
        Sum as in the module's head.
    tags : tuple of TagMatch
        Tag pairs that count.
    combos : tuple of NamedCombo
        Trade names, those that lack least first.
    reached : tuple of Combo
        The same, as the species file has them.
    complete : Combo or None
        The largest trade name that lacks nothing.
    hides : str
        Look of the young with it and a gene of the animal's at its locus, where that hides other genes.
    is_cautioned : bool
        Whether the pairing needs a word.
    is_same_recessive : bool
        Whether it is a recessive that the animal carries already.
    """

    allele: str
    score: float
    tags: tuple[TagMatch, ...]
    combos: tuple[NamedCombo, ...]
    reached: tuple[Combo, ...]
    complete: Combo | None
    hides: str
    is_cautioned: bool
    is_same_recessive: bool


def scored(
    allele: str, animal: Animal, *, out: Collection[str], is_cautioned: bool, combos: Collection[Combo]
) -> Scored:
    """Score of bringing one gene to an animal.

    Parameters
    ----------
    allele : str
        Standing key of the gene.
    animal : Animal
        Who gets a mate that shows it.
    out : collection of str
        Standing keys of genes that are not brought; trade names that need them do not count.
    is_cautioned : bool
        Whether the pairing needs a word.
    combos : collection of Combo
        Trade names that may count.
    """
    weights = animal.catalogue.decisions
    recessive = is_recessive(allele, animal.catalogue)
    same_recessive = recessive and allele in animal.counted
    reached = [(combo, lacks) for combo in combos if (lacks := _lacks(combo, allele, animal, out)) is not None]
    hides, white = _hiding(allele, animal)
    tags = () if allele in animal.counted or hides else _tag_matches(allele, animal)
    score = (
        sum(match.weight for match in tags)
        + sum(weights["idea_combo"].value / (1 + len(lacks)) for _, lacks in reached)
        + (weights["idea_combo"].value if white else 0.0)
        - (weights["idea_recessive"].value if recessive and not _meets_another(allele, animal) else 0.0)
        - (weights["idea_hides"].value if hides else 0.0)
        - (weights["idea_cautioned"].value if is_cautioned else 0.0)
    )
    whole = [combo for combo, lacks in reached if not lacks]
    return Scored(
        allele=allele,
        score=score,
        tags=tags,
        combos=_named(reached, allele, animal),
        reached=tuple(combo for combo, _ in sorted(reached, key=lambda both: len(both[1]))),
        complete=max(whole, key=lambda combo: len(combo.genotypes), default=None),
        hides=hides,
        is_cautioned=is_cautioned,
        is_same_recessive=same_recessive,
    )


def copies_of(combo: Combo, animal: Animal) -> dict[str, int]:
    """Standing alleles that a trade name states, with how many copies of each."""
    found: dict[str, int] = {}
    for alleles in combo.genotypes.values():
        for each in alleles:
            if each != WILD:
                key = animal.catalogue.stands_for(each)
                found[key] = found.get(key, 0) + 1
    return found


def generations_to(copies: Mapping[str, int], allele: str, animal: Animal) -> int:
    """Generations until copies of genes can meet in one young; the first clutch is the first.

    Parameters
    ----------
    copies : mapping of str to int
        Standing alleles, and copies wanted of each.
    allele : str
        Gene that the first mate brings.
    animal : Animal
        Who is paired.

    Notes
    -----
    The first clutch brings one copy of what the animal has, and one of what the mate has. The mate of the second
    generation may bring anything in one copy, and so the second copy of what is there; two copies of what only that
    mate brought come in the third.
    """
    most = 1
    for key, wanted in copies.items():
        at_once = (key in animal.counted) + (key == allele)
        most = max(most, 1 if at_once >= wanted else 2 if at_once or wanted == 1 else 3)
    return most


def _meets_another(allele: str, animal: Animal) -> bool:
    """Whether the animal has a recessive at the same locus, so that young of the first clutch can show the two."""
    locus = animal.catalogue.alleles[allele].locus
    return any(each.is_recessive and each.locus == locus for each in animal.counted.values())


def _tag_matches(allele: str, animal: Animal) -> tuple[TagMatch, ...]:
    entry = animal.catalogue.alleles[allele]
    hard = (entry.ease_two if is_recessive(allele, animal.catalogue) else entry.ease_one) is Ease.HARD
    share = animal.catalogue.decisions["idea_hard_to_see"].value if hard else 1.0
    has: dict[str, Carried] = {}
    for each in animal.shown.values():
        for tag in animal.catalogue.alleles[each.allele].tags:
            has.setdefault(tag, each)
    return tuple(
        TagMatch(row.has, tag, weight * share, hard, has[row.has])
        for row in animal.catalogue.builds
        if row.has in has
        for tag, weight in row.wants
        if tag in entry.tags
    )


def _lacks(combo: Combo, allele: str, animal: Animal, out: Collection[str]) -> tuple[str, ...] | None:
    """Genes that a trade name still lacks, a second copy of one that shows as a gene of its own; None if no idea."""
    copies = copies_of(combo, animal)
    needs_it = copies.get(allele, 0) > (allele in animal.counted)
    if not needs_it or not any(key in animal.counted for key in copies):
        return None
    lacks: list[str] = []
    for key, wanted in copies.items():
        had = (key in animal.counted) + (key == allele)
        if key in out and not had:
            return None
        name = animal.catalogue.alleles[key].name
        if not had:
            lacks.append(name)
        if wanted == 2 and had < 2 and not is_recessive(key, animal.catalogue):
            lacks.append(f"a second {name}")
    return tuple(lacks)


def _named(reached: list[tuple[Combo, tuple[str, ...]]], allele: str, animal: Animal) -> tuple[NamedCombo, ...]:
    named = [
        NamedCombo(name_of(combo, animal), lacks, generations_to(copies_of(combo, animal), allele, animal), combo.mark)
        for combo, lacks in reached
    ]
    return tuple(sorted(named, key=lambda each: (len(each.lacks), each.generations)))


def _hiding(allele: str, animal: Animal) -> tuple[str, bool]:
    """Look of young with the gene and one of the animal's at its locus that hides others, and whether it is named."""
    catalogue = animal.catalogue
    locus = catalogue.alleles[allele].locus
    for each in animal.counted.values():
        if each.locus == locus:
            both: Pair = (min(each.allele, allele), max(each.allele, allele))
            look = catalogue.look(locus, both)
            if look.hides:
                return look.label, each.allele != allele
    return "", False


def name_of(combo: Combo, animal: Animal) -> str:
    """Trade name of a combo; of one gene twice, the name of its look ("Super Pastel" for SP)."""
    if len(combo.genotypes) == 1:
        (locus, alleles), *_ = combo.genotypes.items()
        return animal.catalogue.look(locus, alleles).label
    return combo.name


def combos_that_live(animal: Animal, allow: Collection[str]) -> tuple[Combo, ...]:
    """Trade names that may count: none that kills, none of two copies that harm unless that is allowed.

    Of names for the same genes the one that says them as the animal has them stands alone ("Butter Bee").
    """
    names = {each.name for each in animal.carried.values()}
    best: dict[frozenset[tuple[str, int]], tuple[int, Combo]] = {}
    for combo in animal.catalogue.combos.values():
        copies = copies_of(combo, animal)
        if not copies or not all(_does_no_harm(key, n, animal, allow) for key, n in copies.items()):
            continue
        literal = sum(
            animal.catalogue.alleles[each].name in names
            for alleles in combo.genotypes.values()
            for each in alleles
            if each != WILD
        )
        same = frozenset(copies.items())
        if same not in best or literal > best[same][0]:
            best[same] = (literal, combo)
    return tuple(combo for _, combo in best.values())


def _does_no_harm(key: str, copies: int, animal: Animal, allow: Collection[str]) -> bool:
    entry = animal.catalogue.alleles[key]
    if copies < 2:
        return True
    if entry.lethal:
        return False
    harm = [flag for flag in entry.flags if flag.copies == 2 and flag.kind != "eyes"]
    return is_recessive(key, animal.catalogue) or all(
        f"welfare-{flag.kind.replace(' ', '-')}" in allow for flag in harm
    )
