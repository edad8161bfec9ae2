"""What comes of bringing a gene: what is counted among the young, its chance, and what nobody sees coming."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from holdback.collection.model import Sex
from holdback.decisions.ideas import words
from holdback.decisions.ideas.carried import Animal, is_recessive
from holdback.decisions.ideas.phrases import listed
from holdback.decisions.ideas.scoring import Scored, copies_of, generations_to, name_of
from holdback.heredity.crosses import EggCount, odds, odds_joint
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint, Wish
from holdback.species.model import WILD, Pair, pair


@dataclass(frozen=True, slots=True)
class Aim:
    """What is counted among the young.

    Parameters
    ----------
    wish : Wish
        Genotypes that will do.
    text : str
        In words, after "young that": "show both Cinnamon and Pastel".
    is_seen : bool
        Whether it can be seen in the first clutch.
    generations : int
        Generations until the look of it can be seen.
    hidden : tuple of str
        Recessives that the young of the first clutch only carry, by standing key.
    names : mapping of str to str
        What the genes of it are called.
    """

    wish: Wish
    text: str
    is_seen: bool
    generations: int
    hidden: tuple[str, ...]
    names: Mapping[str, str]


def aim_of(found: Scored, animal: Animal, *, called: str = "") -> Aim:
    """What the idea is after in the first clutch, and in how many generations its look can be seen.

    Parameters
    ----------
    found : Scored
        The gene, scored.
    animal : Animal
        Who gets a mate with it.
    called : str
        What to call the gene where the idea holds for several; its trade name if left out.
    """
    catalogue = animal.catalogue
    if found.is_same_recessive:
        name = catalogue.alleles[found.allele].name
        return Aim(_wish({found.allele: 2}, animal), f"show {name}", True, 1, (), {found.allele: name})
    look = _look_aimed_at(found, animal)
    generations = generations_to(look, found.allele, animal)
    hidden = tuple(key for key in look if is_recessive(key, catalogue)) if generations > 1 else ()
    names = {key: animal.counted[key].name if key in animal.counted else catalogue.alleles[key].name for key in look}
    if called:
        names[found.allele] = called
    first = {key: 1 if generations > 1 else copies for key, copies in look.items()}
    return Aim(_wish(first, animal), _told(first, found, animal, names), generations == 1, generations, hidden, names)


def clutch_chances(
    aim: Aim, animal: Animal, mate: GenotypeBelief, eggs: EggCount, scenarios: Sequence[ParentsJoint] = ()
) -> tuple[float, float]:
    """Chance that one living young fits the aim, and that a laid clutch holds at least one, mixed over both parents.

    Parameters
    ----------
    aim : Aim
        What is counted.
    animal : Animal
        One parent.
    mate : GenotypeBelief
        The other; only the loci of the aim count.
    eggs : EggCount
        The clutch.
    scenarios : sequence of ParentsJoint
        What sire and dam may be together at the loci of the aim; empty where they are independent.
    """
    mine, other, catalogue = _only(animal.belief, aim.wish), _only(mate, aim.wish), animal.catalogue
    sire, dam = (other, mine) if Sex.MALE is other.sex or mine.sex is Sex.FEMALE else (mine, other)
    found = (
        odds_joint(scenarios, catalogue, sire=sire, dam=dam, eggs=eggs, want=aim.wish, top=1)
        if scenarios
        else odds(sire, dam, catalogue, eggs=eggs, want=aim.wish, top=1)
    ).want
    assert found is not None
    return found.per_hatchling, found.at_least_one


def mate_with(allele: str, animal: Animal) -> GenotypeBelief:
    """A mate that shows one gene and nothing else: one copy, or two of a recessive."""
    other = pair(allele, allele) if is_recessive(allele, animal.catalogue) else pair(allele, WILD)
    return GenotypeBelief(loci={animal.catalogue.alleles[allele].locus: {other: 1.0}})


def consequences(found: Scored, aim: Aim, animal: Animal, eggs: EggCount) -> tuple[str, ...]:
    """What else comes of it, in sentences."""
    said = [*_of_recessives(found, aim, animal)]
    if found.hides:
        look = _hiding_wish(found, animal)
        white = clutch_chances(replace(aim, wish=look), animal, mate_with(found.allele, animal), eggs)[0]
        said.append(words.white_young(found.hides, white))
    elif not found.is_same_recessive:
        said += _of_one_place(found, animal)
    return tuple(said)


def _look_aimed_at(found: Scored, animal: Animal) -> dict[str, int]:
    """Alleles and copies of the look that the idea is after."""
    if found.complete is not None:
        return copies_of(found.complete, animal)
    partner = _partner(found, animal)
    copies = {partner: 1, found.allele: 1} if partner != found.allele else {found.allele: 2}
    return {key: 2 if is_recessive(key, animal.catalogue) else n for key, n in copies.items()}


def _partner(found: Scored, animal: Animal) -> str:
    """The gene of the animal that the idea builds on most."""
    weight: dict[str, float] = {}
    for match in found.tags:
        weight[match.carried.allele] = weight.get(match.carried.allele, 0.0) + match.weight
    locus = animal.catalogue.alleles[found.allele].locus
    same_place = [key for key, each in animal.counted.items() if each.locus == locus]
    if found.hides and same_place:
        return same_place[0]
    if weight:
        return max(weight, key=weight.__getitem__)
    named = [key for combo in found.reached for key in copies_of(combo, animal) if key in animal.counted]
    return named[0]


def _wish(copies: Mapping[str, int], animal: Animal) -> Wish:
    """Wish for at least so many copies of each gene, names held to be the same counting."""
    catalogue = animal.catalogue
    by_locus: dict[str, dict[str, int]] = {}
    for key, n in copies.items():
        by_locus.setdefault(catalogue.alleles[key].locus, {})[key] = n
    loci: dict[str, frozenset[Pair]] = {}
    for locus, wanted in by_locus.items():
        loci[locus] = frozenset(
            alleles
            for alleles in catalogue.pairs(locus)
            if all(_standing(alleles, animal).count(key) >= n for key, n in wanted.items())
        )
    return Wish(text=" ".join(copies), loci=loci)


def _standing(alleles: Pair, animal: Animal) -> list[str]:
    return [animal.catalogue.stands_for(each) if each != WILD else WILD for each in alleles]


def _told(first: Mapping[str, int], found: Scored, animal: Animal, names: Mapping[str, str]) -> str:
    """What is counted, in words."""
    if found.hides:
        return f"are {found.hides}"
    if found.complete is not None and first == copies_of(found.complete, animal):
        return f"are {name_of(found.complete, animal)}"
    shows, carries = [], []
    for key, copies in first.items():
        if is_recessive(key, animal.catalogue):
            carries.append(names[key])
        else:
            shows.append(f"two copies of {names[key]}" if copies == 2 else names[key])
    parts = [f"show {'both ' if len(shows) == 2 else ''}{listed(shows)}"] if shows else []
    parts += [f"carry {listed(carries)}"] if carries else []
    return " and ".join(parts)


def _of_recessives(found: Scored, aim: Aim, animal: Animal) -> list[str]:
    if found.is_same_recessive:
        name = animal.catalogue.alleles[found.allele].name
        return [f"A mate that only carries {name} will do: fewer young show it then, and the others carry it or may."]
    shown = [key for key in aim.hidden if key == found.allele or key in animal.shown]
    maybe = [key for key in aim.hidden if key not in shown]
    said = []
    if shown:
        names = listed([aim.names[key] for key in shown])
        said.append(f"Young only carry {names}; visuals come a generation later.")
    said += [
        f"Where it carries {aim.names[key]}, half its young carry it unseen; only their own young tell which."
        for key in maybe
    ]
    return said


def _of_one_place(found: Scored, animal: Animal) -> list[str]:
    locus = animal.catalogue.alleles[found.allele].locus
    name = animal.catalogue.alleles[found.allele].name
    return [
        f"{each.name} and {name} are genes of one place: an animal with both hands one or the other to each young."
        for each in animal.counted.values()
        if each.locus == locus and each.allele != found.allele
    ]


def _hiding_wish(found: Scored, animal: Animal) -> Wish:
    """Wish for the young that hide their other genes."""
    catalogue = animal.catalogue
    locus = catalogue.alleles[found.allele].locus
    hiding = frozenset(alleles for alleles in catalogue.pairs(locus) if catalogue.look(locus, alleles).hides)
    return Wish(text=found.hides, loci={locus: hiding})


def _only(belief: GenotypeBelief, wish: Wish) -> GenotypeBelief:
    kept = {locus: belief.at(locus) for locus in wish.loci}
    phase = {locus: chance for locus, chance in belief.phase.items() if locus in kept}
    return GenotypeBelief(belief.sex, kept, phase)
