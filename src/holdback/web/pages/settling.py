"""Which mates of the collection would settle what an animal may carry, and how soon."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers import Answers, KnownGenes
from holdback.collection.model import Sex
from holdback.species.catalogue import Catalogue
from holdback.species.model import Inheritance
from holdback.web.pages.belief_words import told_alleles
from holdback.web.pages.components import Column, Table
from holdback.web.pages.family import linked
from holdback.web.pages.wording import about, counted, day, whole_percent
from holdback.web.records.models import Animal
from holdback.web.records.queries import present_animals

if TYPE_CHECKING:
    from holdback.answers.proof import CarrierAdvice
    from holdback.heredity.proving import MateTest

PATIENCE = 2.0
"""Seconds after which no further gene is begun; the most doubtful ones come first."""

DOUBTFUL = (0.02, 0.98)
"""Chances of carrying between which a test is worth naming."""
GENES, MATES = 3, 3
"""Genes told of one animal, and mates told of one gene."""
_LOOKED_AT = 4
"""Most telling mates of which those are named that are unrelated and grown, where they tell as much."""


@dataclass(frozen=True, slots=True)
class GeneTest:
    """Tests of one gene.

    Parameters
    ----------
    gene : str
        Its name.
    said : str
        The best test in a sentence.
    mates : Table or None
        The best mates; None where nobody here could tell.
    notes : tuple of str
        What is not counted.
    """

    gene: str
    said: str
    mates: Table | None
    notes: tuple[str, ...] = ()


def doubtful_alleles(genes: KnownGenes, one: Animal, catalogue: Catalogue) -> list[str]:
    """Hidden genes of a living animal of known sex that are most in doubt, the most doubtful first."""
    if one.sex not in {Sex.MALE.value, Sex.FEMALE.value} or not one.living:
        return []
    found = [
        (abs(copies[0] - 0.5), allele)
        for allele, copies in told_alleles(genes, catalogue)
        if catalogue.alleles[allele].inheritance is Inheritance.RECESSIVE
        and DOUBTFUL[0] < 1 - copies[0] < DOUBTFUL[1]
        and copies[2] < copies[1]
    ]
    return [allele for _, allele in sorted(found)[:GENES]]


def gene_tests(answers: Answers, name: str, alleles: Sequence[str]) -> list[GeneTest]:
    """The best mates of the collection to test an animal for some genes.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    name : str
        Id of the animal.
    alleles : sequence of str
        Keys of the genes.
    """
    from holdback.answers.proof import carrier_advice

    end, found = time.monotonic() + PATIENCE, []
    for allele in alleles:
        if time.monotonic() > end:
            break
        found.append(_gene_test(answers, name, carrier_advice(answers, name, allele, top=_LOOKED_AT)))
    return found


def _gene_test(answers: Answers, name: str, advice: CarrierAdvice) -> GeneTest:
    gene = advice.gene.name
    ids = {f"{one.name} {one.id}".strip(): one.id for one in answers.collection.animals.values()}
    shared = {test.label: shared_ancestors(answers, name, ids[test.label]) for test in advice.tests.mates}
    able = [test for test in advice.tests.mates if test.able > DOUBTFUL[0]]
    if not able:
        return GeneTest(gene, f"No mate here shows {gene} or is likely to carry it, so none could tell.", None)
    best = sorted(
        able, key=lambda test: (-round(test.bits, 2), bool(shared[test.label]), _age(answers, ids[test.label]))
    )
    best = best[:MATES]
    animals = {one.tag: one for one in present_animals().filter(tag__in=[ids[test.label] for test in best])}
    heads = [
        Column("Mate"),
        Column("Proves it in one clutch"),
        Column("Young without it until under 5\u00a0%", is_number=True),
        Column("Mind", is_full=True),
    ]
    lines = [
        [
            _who(test.label, animals.get(ids[test.label])),
            format_html("<b>{}</b> {}", about(test.proves_in_clutch), whole_percent(test.proves_in_clutch)),
            str(test.young_to_clear) if test.young_to_clear else "none will do",
            _mind(answers, ids[test.label], test, shared[test.label]),
        ]
        for test in best
    ]
    return GeneTest(gene, _said(gene, best[0]), Table(heads, lines), advice.notes[:-1])


def _age(answers: Answers, animal: str) -> str:
    """Hatch date for sorting, the oldest first; not known comes first too, as of bought animals."""
    return str(answers.collection.animals[animal].hatched or "")


def shared_ancestors(answers: Answers, one: str, other: str) -> list[str]:
    """Ids of all animals from which both descend, the two among them."""
    family = answers.family
    return sorted((family.ancestors(one) | {one}) & (family.ancestors(other) | {other}))


def _who(label: str, animal: Animal | None) -> SafeString:
    return linked(animal) if animal else format_html("{}", label)


def _said(gene: str, best: MateTest) -> str:
    """The best test in a sentence."""
    end = (
        f"{counted(best.young_to_clear, 'young', 'young')} without it bring the chance under 5\u00a0%."
        if best.young_to_clear
        else "no number of young without it brings the chance under 5\u00a0%."
    )
    chance = about(best.proves_in_clutch)
    return f"Put to {best.label}: one young that shows {gene} proves it, {chance} in one clutch; {end}"


def _mind(answers: Answers, mate: str, test: MateTest, shared: Sequence[str]) -> str:
    """What to mind of a mate: kinship, age, and that it may not carry the gene itself."""
    hatched = answers.collection.animals[mate].hatched
    parts = []
    if shared:
        names = ", ".join(shared[:3]) + (" and others" if len(shared) > 3 else "")
        parts.append(f"Related through {names}: the young are inbred.")
    if test.able < DOUBTFUL[1]:
        parts.append(f"It may not carry the gene itself; {about(test.able)} that it can tell.")
    if hatched:
        parts.append(f"Hatched {day(hatched)}.")
    return " ".join(parts) or "No shared ancestor is on record."
