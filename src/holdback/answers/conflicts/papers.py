"""Conflicts of what is written of genes: with itself, and with what parents and records support."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from holdback.answers.conflicts.conflict import Conflict, Explanation, Kind
from holdback.answers.conflicts.wording import listed, named, percent, verb
from holdback.collection.collection import Collection
from holdback.collection.model import StatementKind
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import RecordKind
from holdback.heredity.beliefs.texts import TextClaim, text_genes
from holdback.heredity.shorthand import read
from holdback.heredity.shorthand.reading import ASSUMED
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Allele, pair

FAR_OFF = 0.15
"""Difference from which a percentage on paper is told."""
_HARDLY = 0.05
_HARDLY_AT_ALL = 0.005
"""Chance up to which a doubtful look is told: still small if doubt is ten times likelier of a carrier (assumed)."""
_SURELY = 0.95
_ALIVE = 0.5
"""Chance to die of it from which a pair of alleles is not expected in a living animal."""

_TEXT_CODES = {
    "three-alleles": ("CNF-001", "more than two genes of one complex are written, and an animal has two copies only"),
    "het-of-visible": ("CNF-002", "het is written of a gene that shows with one copy"),
    "het-and-visual": ("CNF-003", "a recessive is written as shown and as het"),
}


def text_conflicts(collection: Collection, catalogue: Catalogue) -> Iterator[Conflict]:
    """Gene texts that contradict themselves or a statement."""
    for animal in collection.animals.values():
        if animal.genes:
            codes = dict.fromkeys(one.code for one in read(animal.genes, catalogue).warnings if one.code in _TEXT_CODES)
            for each in codes:
                code, what = _TEXT_CODES[each]
                yield _of_text(code, f"{what} (“{animal.genes}”)", animal.id, collection)
        yield from _against_statements(animal.id, collection, catalogue)


def _of_text(code: str, what: str, animal: str, collection: Collection, locus: str = "") -> Conflict:
    name = named(collection, animal)
    settle = f"Look at {name} and at the paper it came with."
    fix = f"Correct the genes of {animal}."
    words, record = f"One of the words on {name} is a slip.", f"animal {animal}"
    found = Explanation(Kind.LOOK, words, 1.0, fix, record, "genes", "", settle)
    return Conflict(code, (animal,), locus, f"{name}: {what}.", 1.0, (found,), (f"First: {settle}",))


def _against_statements(animal: str, collection: Collection, catalogue: Catalogue) -> Iterator[Conflict]:
    """A recessive that the text shows and a statement calls het, or the other way round."""
    shown, het = set(), set()
    for here in text_genes(collection.animals[animal].genes, catalogue).loci.values():
        shown |= {catalogue.stands_for(gene.allele) for gene in here.shown if gene.shown and gene.allele}
        het |= {catalogue.stands_for(claim.gene.allele) for claim in here.claims if claim.gene.source.endswith("het")}
    stated_shown, stated_het = set(), set()
    for one in collection.statements_of(animal):
        allele = catalogue.alleles.get(one.gene) or catalogue.find(one.gene)
        if isinstance(allele, Allele):
            if one.kind is StatementKind.SEEN and one.none < _HARDLY:
                stated_shown.add(catalogue.stands_for(allele.key))
            elif one.kind is StatementKind.CLAIMED and one.one > _SURELY:
                stated_het.add(catalogue.stands_for(allele.key))
    for key in sorted((shown & stated_het) | (het & stated_shown) | (stated_shown & stated_het)):
        allele = catalogue.alleles[key]
        if not catalogue.look(allele.locus, pair(WILD, key)).label:
            what = f"{allele.name} is recorded as shown, which takes two copies, and as het"
            yield _of_text("CNF-003", what, animal, collection, allele.locus)


def lethal_conflicts(collection: Collection, catalogue: Catalogue, beliefs: Beliefs) -> Iterator[Conflict]:
    """Animals written with a pair of alleles that does not live, and not as dead."""
    for key, locus in beliefs.evidence.loci.items():
        deadly = locus.survival < _ALIVE
        for animal, records in locus.records.items() if deadly.any() else ():
            is_dead = any(one.key.startswith("died:") for one in records)
            for record in records:
                if record.kind is RecordKind.LOOK and not is_dead and deadly[~record.wrong].all():
                    what = f"{record.words}, and young with two copies of it do not live"
                    yield _of_text("CNF-004", what, animal, collection, key)


@dataclass(frozen=True, slots=True)
class _Group:
    """Young of one brood, or one animal, of which the same is written of one gene."""

    nest: str
    allele: str
    name: str
    written: str
    is_doubtful: bool
    claimed: float
    now: float


def paper_conflicts(collection: Collection, catalogue: Catalogue, beliefs: Beliefs) -> Iterator[Conflict]:
    """Percentages that all records together do not support."""
    groups: dict[_Group, list[str]] = {}
    for animal in collection.animals.values():
        for here in text_genes(animal.genes, catalogue).loci.values():
            for claim in here.claims:
                group = _group(animal.id, claim, catalogue, beliefs)
                if group is not None:
                    groups.setdefault(group, []).append(animal.id)
    for group, animals in groups.items():
        yield _paper(group, animals, collection, catalogue, beliefs)


def _group(animal: str, claim: TextClaim, catalogue: Catalogue, beliefs: Beliefs) -> _Group | None:
    gene = claim.gene
    if gene.copies is None or not gene.allele:
        return None
    allele = catalogue.stands_for(gene.allele)
    locus = catalogue.alleles[allele].locus
    now = round(sum(beliefs.copies(animal, locus, allele)[1:]), 3)
    claimed = gene.copies[1] + gene.copies[2]
    is_doubtful = gene.said == ASSUMED
    if (now > _HARDLY_AT_ALL) if is_doubtful else (abs(now - claimed) <= FAR_OFF):
        return None
    brood = beliefs.family.brood_of(animal)
    nest = brood.key if brood else animal
    written = f"{gene.source} {gene.name}"
    return _Group(nest, allele, gene.name, written, is_doubtful, claimed, round(now, 2))


def _paper(
    group: _Group, animals: list[str], collection: Collection, catalogue: Catalogue, beliefs: Beliefs
) -> Conflict:
    locus = catalogue.alleles[group.allele].locus
    parents = [str(one) for one in beliefs.family.parents(animals[0])]
    now = sum(beliefs.copies(animals[0], locus, group.allele)[1:])
    visual = [one for one in parents if beliefs.copies(one, locus, group.allele)[2] > _SURELY]
    code = _code(group, visual, catalogue)
    chance, fix = abs(now - group.claimed), f"Write {percent(now)} for {group.name}, or correct the parents."
    if group.is_doubtful:
        chance, fix = 1.0 - now, f"Look again, and take {group.name} out of the genes if it is not to be seen."
    settle = f"{'Check the parents first; a' if parents else 'A'} shed test of {listed(animals)} settles it."
    found = tuple(
        Explanation(Kind.CLAIM, "What is written does not fit.", chance, fix, f"animal {one}", "genes", "", settle)
        for one in animals
    )
    names = [named(collection, one) for one in (visual if code == "CNF-030" else parents)]
    said = f"{listed([named(collection, one) for one in animals])} {verb(len(animals), 'is', 'are')} written as "
    message = said + _against(group, code, names, _plain_young(animals, locus, beliefs), now=now)
    return Conflict(code, (*animals, *parents), locus, message, chance, found, (f"First: {settle}",))


def _code(group: _Group, visual: list[str], catalogue: Catalogue) -> str:
    locus = catalogue.alleles[group.allele].locus
    is_hidden = not catalogue.look(locus, pair(WILD, group.allele)).label
    if group.is_doubtful:
        return "CNF-032"
    return "CNF-030" if visual and is_hidden and group.claimed < 1.0 - 1e-9 else "CNF-031"


def _against(group: _Group, code: str, parents: list[str], plain: list[str], *, now: float) -> str:
    """What is written, and what speaks against it; `plain` are own young that do not show the gene."""
    if code == "CNF-032":
        why = f"the parents on record, {listed(parents)}," if parents else f"{len(plain)} young without it"
        return f"possible {group.name}; {why} leave it {percent(now)}."
    if code == "CNF-030":
        return (
            f"{group.written}, under {listed(parents)}, with two copies of it: every young is then 100 % het, if the "
            "parents are right."
        )
    return f"{group.written}; parents, young and all other records support {percent(now)}."


def _plain_young(animals: list[str], locus: str, beliefs: Beliefs) -> list[str]:
    records = beliefs.evidence.loci[locus].records
    broods = [brood for animal in animals for brood in beliefs.family.broods_of_parent.get(animal, ())]
    return [
        one
        for brood in broods
        for one in brood.young
        if any(each.kind is RecordKind.LOOK and not each.wrong[0, 0] for each in records.get(one, ()))
    ]
