"""The trade phrase of one gene."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holdback.errors import Fault, ShorthandError
from holdback.heredity.shorthand.reading import ASSUMED, HELD_BACK, ReadGene
from holdback.heredity.shorthand.repeats import BOTH_WAYS, THREE_TIMES
from holdback.heredity.shorthand.scanner import scanned
from holdback.heredity.shorthand.tokens import Token, is_recessive
from holdback.heredity.shorthand.words import percent_of
from holdback.species.model import Allele, Combo

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


class Phrases:
    """Writes genes of one species, each so that it reads back alone.

    Parameters
    ----------
    catalogue : Catalogue
        Species.
    """

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue

    def of(self, gene: ReadGene) -> str:
        """Phrase of a gene, without its male or female maker.

        Raises
        ------
        ShorthandError
            SHO-302 where no spelling of its name can be read back.
        """
        if not gene.allele:
            return gene.name if self._reads_as(gene.name, gene) else gene.text
        allele = self.catalogue.alleles[gene.allele]
        name = self._spelling(allele)
        if gene.said == HELD_BACK:
            return self._held_back(gene, name)
        if gene.copies is None:
            return self._open(gene, name)
        if gene.said == ASSUMED:
            return f"poss {name}"
        return self._stated(gene, allele, name)

    def _stated(self, gene: ReadGene, allele: Allele, name: str) -> str:
        assert gene.copies is not None
        none, one, two = gene.copies
        if none == 1:
            return f"no {name}"
        if two and two < 1:
            return f"{percent_of(two)}% super {name}"
        if two:
            return name if is_recessive(allele) else self._super(name)
        if gene.shown:
            return name
        if gene.shown is None and one < 1:
            return f"{percent_of(one)}% {name}"
        if one < 1:
            return f"{percent_of(one)}% het {name}"
        text = f"het {name}"
        # "Het Daddy" is a name of its own, of a visible copy.
        return text if [token.kind for token in self._tokens(text)] == ["HET", "NAME"] else f"100% {name}"

    def _super(self, name: str) -> str:
        """Two copies of a gene that shows with one; "2x" where "Super" and its name are another name."""
        text = f"Super {name}"
        kinds = [token.kind for token in self._tokens(text)]
        return text if kinds == ["SUPER", "NAME"] else f"2x {name}"

    def _open(self, gene: ReadGene, name: str) -> str:
        if self._reads_as(gene.text, gene):
            return gene.text
        if gene.shown:
            return f"poss super {name}"
        if gene.shown is None:
            return f"{name} not stated"
        return f"poss het {name}"

    def _reads_as(self, text: str, gene: ReadGene) -> bool:
        from holdback.heredity.shorthand.reader import read

        return read(text, self.catalogue).genes == (gene,)

    def _held_back(self, gene: ReadGene, name: str) -> str:
        if gene.source == THREE_TIMES:
            return f"{name} {name} {name}"
        if gene.source == BOTH_WAYS:
            return f"no {name} {name}"
        if gene.source == "super" or self._is_double_in_combo(gene):
            return self._super(name)
        return f"{gene.source} {name}" if "het" in gene.source.split() else name

    def _is_double_in_combo(self, gene: ReadGene) -> bool:
        """True where the combo it was read from states two copies of a gene that shows with one."""
        combo = self.catalogue.find(gene.source.removeprefix("combo ")) if gene.source.startswith("combo ") else None
        pair = combo.genotypes.get(gene.locus, ()) if isinstance(combo, Combo) else ()
        return pair.count(gene.allele) == 2 and not is_recessive(self.catalogue.alleles[gene.allele])

    def _spelling(self, allele: Allele) -> str:
        for name in (allele.name, *allele.aliases):
            tokens = self._tokens(name)
            if len(tokens) == 1 and tokens[0].carried == allele:
                return name
        fault = Fault(
            "SHO-302", f"No spelling of {allele.name} reads back.", "Give it a plain alias.", value=allele.name
        )
        raise ShorthandError(fault)

    def _tokens(self, text: str) -> list[Token]:
        return [token for token in scanned(text, self.catalogue) if token.kind != "GAP"]
