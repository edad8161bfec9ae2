"""Cautions and nevers, which come before any idea: what an animal carries itself, and what is not brought to it."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.ideas.carried import WORTH_TELLING, Animal, Carried, is_recessive
from holdback.decisions.ideas.result import RuledOut
from holdback.heredity.crosses.result import Caution
from holdback.species.model import Allele, Flag, Mark, PairingCaution

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

SECOND_NEUROLOGICAL = "second-neurological"
"""Code of bringing a gene that troubles balance to an animal that has one."""

_LIKELY = 0.5
_GRAVITY = {"stop": 0, "think": 1, "note": 2}
_SURE = 0.995
_WORTH_A_WORD = 0.05
"""Chance of a gene from which a pairing that only needs a word is held against it."""

_SPOKEN_OF_IN_PAIRS = frozenset({"eyes"})
"""Kinds of flags that hang on what a gene meets; the pairing cautions tell of them."""


@dataclass(frozen=True, slots=True)
class Barrier:
    """One reason not to bring a gene.

    Parameters
    ----------
    reason : str
        In a sentence.
    code : str
        Caution that lifts it when the keeper allows it; empty where nothing does.
    """

    reason: str
    code: str = ""


def own_cautions(animal: Animal) -> tuple[Caution, ...]:
    """What an animal carries itself that needs a word, gravest first, each said once."""
    said = [*_own_pairings(animal), *_own_flags(animal), *_own_together(animal)]
    return tuple(sorted(dict.fromkeys(said), key=lambda caution: _GRAVITY[caution.level]))


def codes(catalogue: Catalogue) -> tuple[str, ...]:
    """Cautions that a keeper can allow, by code."""
    flags = {_welfare(flag): None for allele in catalogue.alleles.values() for flag in allele.flags}
    return (*(rule.code for rule in catalogue.pairing_cautions), *flags, SECOND_NEUROLOGICAL)


def is_stopped(animal: Animal, allow: Collection[str]) -> bool:
    """Whether the animal itself should not be bred from: it likely has a gene that is warned off with any mate."""
    return any(
        rule.level == "stop"
        and rule.code not in allow
        and not (rule.sire and rule.dam)
        and animal.chance_of_any(rule.sire or rule.dam) >= _LIKELY
        and (not rule.dam_only or animal.belief.sex is Sex.FEMALE)
        for rule in animal.catalogue.pairing_cautions
    )


def barriers(allele: str, animal: Animal, *, mate_sex: Sex = Sex.UNKNOWN) -> tuple[Barrier, ...]:
    """Reasons not to bring a gene to an animal, the gravest first; empty where there is none.

    Parameters
    ----------
    allele : str
        Standing key of the gene.
    animal : Animal
        Who would get a mate with it.
    mate_sex : Sex
        Sex of the mate; unknown is taken as the other sex.
    """
    entry = animal.catalogue.alleles[allele]
    found = [
        *_lethal(entry, animal),
        *_lethal_together(allele, animal),
        *_pairings(allele, animal, mate_sex),
        *_flags(entry, animal),
    ]
    return tuple(dict.fromkeys(found))


def ruled_out(allele: str, animal: Animal, allow: Collection[str]) -> RuledOut | None:
    """The gene as not brought, with every reason; None where it may be brought.

    Parameters
    ----------
    allele : str
        Standing key of the gene.
    animal : Animal
        Who would get a mate with it.
    allow : collection of str
        Codes that the keeper allows; what kills young is never allowed.
    """
    found = barriers(allele, animal)
    if all(each.code in allow for each in found):
        return None
    final = any(not each.code for each in found)
    standing = [each for each in found if each.code not in allow]
    return RuledOut(
        allele=allele,
        name=animal.catalogue.alleles[allele].name,
        reasons=tuple(each.reason for each in standing),
        codes=() if final else tuple(dict.fromkeys(each.code for each in standing)),
    )


def needs_a_word(allele: str, animal: Animal) -> bool:
    """Whether the species file warns of the pairing itself, beside what it says of the gene."""
    return any(_pairings(allele, animal, Sex.UNKNOWN))


def _own_pairings(animal: Animal) -> Iterator[Caution]:
    """Pairings with anyone at all that need a word, such as that of an animal that may not be bred from."""
    for rule in animal.catalogue.pairing_cautions:
        named = rule.sire or rule.dam
        if rule.sire and rule.dam:
            continue
        if rule.dam_only and animal.belief.sex is Sex.MALE:
            continue
        chance = animal.chance_of_any(named)
        if chance >= WORTH_TELLING:
            if_female = " Its sex is not known here: this holds if it is a female."
            unsexed = if_female if rule.dam_only and animal.belief.sex is Sex.UNKNOWN else ""
            yield Caution(rule.code, rule.level, rule.message + unsexed + _doubt(chance) + trust(rule.mark))


def _own_flags(animal: Animal) -> Iterator[Caution]:
    for each in animal.carried.values():
        for flag in animal.catalogue.alleles[each.allele].flags:
            chance = each.chance if flag.copies == 1 else each.two
            if chance >= WORTH_TELLING or flag.kind == "lethal":
                name = f"{each.name}, two copies" if flag.copies == 2 else each.name
                level = "think" if flag.kind in {"neurological", "kinking", "female fertility", "lethal"} else "note"
                doubt = _doubt(each.chance if flag.kind == "lethal" else chance)
                yield Caution(_welfare(flag), level, f"{name}: {flag.text}{doubt}{trust(flag.mark)}")


def _own_together(animal: Animal) -> Iterator[Caution]:
    for rule in animal.catalogue.together:
        if all(animal.chance_of(each) >= WORTH_TELLING for each in rule.alleles):
            names = " with ".join(animal.catalogue.alleles[each].name for each in rule.alleles)
            yield Caution("harm-together", "think", f"{names}: {rule.text}{trust(rule.mark)}")


def _lethal(entry: Allele, animal: Animal) -> Iterator[Barrier]:
    if entry.lethal and animal.chance_of(entry.key) >= WORTH_TELLING:
        may = "has" if animal.chance_of(entry.key) >= _SURE else "may have"
        stage = "in the egg" if entry.lethal_stage == "in egg" else entry.lethal_stage
        yield Barrier(f"It {may} {entry.name} itself, and young with two copies die {stage}.{trust(entry.mark)}")


def _lethal_together(allele: str, animal: Animal) -> Iterator[Barrier]:
    stands = animal.catalogue.stands_for
    for rule in animal.catalogue.together:
        named = {stands(each) for each in rule.alleles}
        if rule.lethal and allele in named:
            others = named - {allele}
            if all(animal.chance_of(each) >= WORTH_TELLING for each in others):
                yield Barrier(rule.text + trust(rule.mark))


def _pairings(allele: str, animal: Animal, mate_sex: Sex) -> Iterator[Barrier]:
    for rule in animal.catalogue.pairing_cautions:
        chance = _meets(rule, allele, animal, mate_sex)
        if rule.level != "note" and chance >= (WORTH_TELLING if rule.level == "stop" else _WORTH_A_WORD):
            doubt = "" if chance >= _SURE else f" It has what this would meet with a chance of {chance:.0%}."
            yield Barrier(rule.message + doubt + trust(rule.mark), rule.code)


def _meets(rule: PairingCaution, allele: str, animal: Animal, mate_sex: Sex) -> float:
    """Chance that the animal has what a caution says that the gene should not meet."""
    stands = animal.catalogue.stands_for
    sides = [{stands(each) for each in named} for named in (rule.sire, rule.dam)]
    if not sides[0] or not sides[1]:  # with anyone: the gene's own flags speak, save where only the dam matters
        mate_is_male = mate_sex is Sex.MALE or animal.belief.sex is Sex.FEMALE
        return float(rule.dam_only and not mate_is_male and allele in sides[0] | sides[1])
    return max(
        animal.chance_of_any(sides[1]) if allele in sides[0] else 0.0,
        animal.chance_of_any(sides[0]) if allele in sides[1] else 0.0,
    )


def _flags(entry: Allele, animal: Animal) -> Iterator[Barrier]:
    """Harm in every young that has the gene, or that shows it where it is a recessive."""
    recessive = is_recessive(entry.key, animal.catalogue)
    mine = {flag.kind for each in animal.carried.values() for flag in _of_carriers(each, animal)}
    for flag in entry.flags:
        if flag.kind in _SPOKEN_OF_IN_PAIRS or (flag.copies == 2 and not recessive):
            continue
        if animal.chance_of(entry.key) < WORTH_TELLING:
            yield Barrier(flag.text + trust(flag.mark), _welfare(flag))
        if flag.kind == "neurological" and "neurological" in mine:
            reason = f"It would bring a second gene that troubles balance: {entry.name}."
            yield Barrier(reason, SECOND_NEUROLOGICAL)


def _of_carriers(each: Carried, animal: Animal) -> list[Flag]:
    return [flag for flag in animal.catalogue.alleles[each.allele].flags if flag.copies == 1]


def _welfare(flag: Flag) -> str:
    return f"welfare-{flag.kind.replace(' ', '-')}"


def _doubt(chance: float) -> str:
    return "" if chance >= _SURE else f" It has the gene with a chance of {chance:.0%}."


def trust(mark: Mark) -> str:
    """Trust in a statement as a short ending; empty for what is published."""
    return "" if mark is Mark.PUBLISHED else f" ({mark[0].upper()}{mark[1:]}.)"
