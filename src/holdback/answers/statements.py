"""What was seen or is said of single genes, put over the genes as typed.

Of several statements on one allele the latest counts, and stands in the place of what the text says of that allele.
A statement of limited trust is mixed: with its trust as weight the belief with it, with the rest the belief without.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

from holdback.collection.model import GeneStatement, StatementKind
from holdback.heredity.shorthand import ReadGene, Reading
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Allele, Pair, pair

if TYPE_CHECKING:
    from holdback.heredity.shorthand.reading import Copies

_HELD_BACK = "held back"
_SOURCE = "statement"
_CERTAIN = 1.0 - 1e-6


@dataclass(frozen=True, slots=True)
class Told:
    """A statement with the allele that its gene names.

    Parameters
    ----------
    allele : str
        Allele key.
    statement : GeneStatement
        What was seen or said.
    """

    allele: str
    statement: GeneStatement

    @property
    def is_seen(self) -> bool:
        """Whether somebody saw it."""
        return self.statement.kind is StatementKind.SEEN

    @property
    def is_absent(self) -> bool:
        """Whether somebody looked for it and did not see it."""
        return self.is_seen and self.statement.none >= _CERTAIN


def named_allele(gene: str, catalogue: Catalogue) -> Allele | None:
    """Allele that a key or a trade name means; None where the species has none of that name."""
    found = catalogue.alleles.get(gene) or catalogue.find(gene)
    return found if isinstance(found, Allele) else None


def told_by_locus(statements: Sequence[GeneStatement], catalogue: Catalogue) -> dict[str, list[Told]]:
    """Statements that count, by locus: the latest on each allele, a look before a claim of the same day.

    Parameters
    ----------
    statements : sequence of GeneStatement
        All on one animal; one without a date counts as older than all others.
    catalogue : Catalogue
        Its species; a gene that it does not know is passed over.
    """
    latest: dict[str, GeneStatement] = {}
    for one in sorted(statements, key=lambda one: (str(one.date or ""), one.kind is StatementKind.SEEN)):
        allele = named_allele(one.gene, catalogue)
        if allele is not None:
            latest.pop(allele.key, None)  # so that the latest stands last
            latest[allele.key] = one
    found: dict[str, list[Told]] = {}
    for key, one in latest.items():
        found.setdefault(catalogue.alleles[key].locus, []).append(Told(key, one))
    return found


def variants(told: Sequence[Told]) -> Iterator[tuple[float, list[Told]]]:
    """Every choice of statements that may hold, with its probability; all of them first. Trusts are independent."""
    for holds in product((True, False), repeat=len(told)):
        weight = 1.0
        for one, is_held in zip(told, holds, strict=True):
            weight *= one.statement.trust if is_held else 1.0 - one.statement.trust
        if weight > 0.0:
            yield weight, [one for one, is_held in zip(told, holds, strict=True) if is_held]


def with_statements(reading: Reading, told: Sequence[Told], catalogue: Catalogue) -> Reading:
    """Reading in which statements stand in the place of what the text says of their alleles.

    Notes
    -----
    All statements are on alleles of one locus. That a gene was looked for and not seen takes away what the text says is
    shown, not what it says is hidden. Where an animal cannot have all that is stated, the statements go before the text
    and the later before the earlier, and the ground says so.
    """
    absent = {one.allele for one in told if one.is_absent}
    replaced = {one.allele for one in told} - absent
    kept = [
        gene for gene in reading.genes if gene.allele not in replaced and not (gene.shown and gene.allele in absent)
    ]
    added = [_gene(one, catalogue) for one in told if not one.is_absent]
    loci = {gene.locus for gene in added}
    here = [gene for gene in kept if gene.locus in loci]
    if not _fit([*here, *added], catalogue):
        kept, added = [gene for gene in kept if gene.locus not in loci], _newest(added, catalogue)
    return replace(reading, genes=(*kept, *added))


def _fit(genes: Sequence[ReadGene], catalogue: Catalogue) -> bool:
    """Whether one animal can have all these genes of one locus, which is no more than two copies in all."""
    from holdback.heredity.shorthand.belief import pairs_of

    counted = [gene for gene in genes if gene.said != _HELD_BACK and (gene.copies or gene.shown)]
    return bool(pairs_of(counted, catalogue))


def _newest(genes: Sequence[ReadGene], catalogue: Catalogue) -> list[ReadGene]:
    """As many of the statements on one locus as fit together, from the latest back; the latest says so."""
    found = [replace(genes[-1], text=f"{genes[-1].text}; not all that is stated here fits beside it")]
    for gene in reversed(genes[:-1]):
        if _fit([gene, *found], catalogue):
            found.insert(0, gene)
    return found


def _gene(told: Told, catalogue: Catalogue) -> ReadGene:
    """Statement in the form of a gene that was read."""
    one, allele = told.statement, catalogue.alleles[told.allele]
    copies: Copies = (one.none, one.one, one.two)
    if told.is_seen and not catalogue.look(allele.locus, pair(WILD, allele.key)).label:
        copies = (one.none, 0.0, one.one + one.two)  # one copy does not show: whoever sees it sees two
    shown = True if told.is_seen else False if not one.two else None
    return ReadGene(allele.key, allele.name, copies, shown, _SOURCE, _in_words(told), locus=allele.locus)


def _in_words(told: Told) -> str:
    """Who saw or says it, when and why, without a full stop."""
    one = told.statement
    verb = "Not seen" if told.is_absent else "Seen" if told.is_seen else "Claimed"
    when = f" {'on' if one.date.day else 'in'} {one.date}" if one.date else ""
    words = verb + (f" by {one.by}" if one.by else "") + when
    return f"{words}: {one.ground.rstrip('.')}" if one.ground else words


def absence_in_words(told: Sequence[Told]) -> str:
    """Sentence on each gene that was looked for and not seen."""
    return " ".join(f"{_in_words(one)}." for one in told if one.is_absent)


def missed_chance(locus: str, alleles: Pair, told: Sequence[Told], catalogue: Catalogue) -> float:
    """Probability that an animal of this pair shows none of the genes that were looked for and not seen.

    Notes
    -----
    A gene that changes the look goes unseen at the rate of the catalogue; one that does not is never seen.
    """
    chance = 1.0
    look = catalogue.look(locus, alleles).key
    for one in told:
        if one.is_absent and one.allele in alleles:
            without = [WILD if allele == one.allele else allele for allele in alleles]
            if catalogue.look(locus, pair(*without)).key != look:
                chance *= catalogue.alleles[one.allele].missed
    return chance


def shown_in_words(genes: Sequence[ReadGene]) -> str:
    """What is shown, and who saw it, without a full stop."""
    names = " and ".join(gene.name for gene in genes if gene.source != _SOURCE)
    parts = [f"Shows {names}"] if names else []
    return "; ".join(parts + [gene.text for gene in genes if gene.source == _SOURCE])


def claims_in_words(genes: Sequence[ReadGene]) -> str:
    """What is written and said of a locus, as one sentence; empty where nothing is."""
    text = ", ".join(gene.text.strip() or gene.name for gene in genes if gene.source != _SOURCE)
    parts = [f"Written as “{text}”"] if text else []
    parts += [gene.text for gene in genes if gene.source == _SOURCE]
    return f"{'; '.join(parts)}; nothing recorded here proves it." if parts else ""
