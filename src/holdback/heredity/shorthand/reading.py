"""What was read from a line of trade shorthand, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from holdback.collection.estimate import Basis
from holdback.collection.model import Origin, PartialDate, Sex
from holdback.heredity.shorthand.codes import CODES

if TYPE_CHECKING:
    from holdback.heredity.genotype import GenotypeBelief
    from holdback.species.catalogue import Catalogue

Copies = tuple[float, float, float]
"""Probabilities of no, one and two copies."""

STATED, ASSUMED, UNSTATED, HELD_BACK = "stated", "assumed", "not stated", "held back"
"""How far a gene was said: with its chance, with one assumed here, without one, or in contradiction."""


@dataclass(frozen=True, slots=True)
class SexCounts:
    """Males, females and animals of unknown sex, as in 1.2.3."""

    males: int = 0
    females: int = 0
    unknown: int = 0

    def __str__(self) -> str:
        """Trade form; the last field is dropped if it is zero."""
        return f"{self.males}.{self.females}" + (f".{self.unknown}" if self.unknown else "")

    @property
    def total(self) -> int:
        """Number of animals."""
        return self.males + self.females + self.unknown

    @property
    def of_one_sex(self) -> Sex:
        """Sex of all of them, unknown where they differ or are not sexed."""
        if self.males == self.total:
            return Sex.MALE
        return Sex.FEMALE if self.females == self.total else Sex.UNKNOWN


@dataclass(frozen=True, slots=True)
class ReadGene:
    """What the text says of one allele.

    Parameters
    ----------
    allele : str
        Allele key; empty where only the complex is said, then `locus` tells it.
    name : str
        Trade name.
    copies : tuple of three floats or None
        Probabilities of no, one and two copies; None where the text does not state them.
    shown : bool or None
        Whether the animal shows it; None where the text does not say.
    source : str
        How it was said: "named", "het", "66% het", "combo Bumblebee", "super", "possible het", ...
    text : str
        Words it was read from.
    said : str
        "stated", "assumed" (a chance the text does not give), "not stated" or "held back".
    locus : str
        Locus key.
    maker : str
        "male maker" or "female maker" of a sex-linked gene; else empty.
    """

    allele: str
    name: str
    copies: Copies | None
    shown: bool | None
    source: str = field(compare=False)
    text: str = field(compare=False)
    said: str = STATED
    locus: str = ""
    maker: str = ""

    @property
    def stated(self) -> bool:
        """True where `copies` may be used."""
        return self.copies is not None

    def as_json(self) -> dict[str, object]:
        """Keys of the command: gene, copies, shown, from; and key, locus, said, maker."""
        copies = None if self.copies is None else {str(n): chance for n, chance in enumerate(self.copies)}
        return {
            "gene": self.name,
            "copies": copies,
            "shown": self.shown,
            "from": self.source,
            "key": self.allele,
            "locus": self.locus,
            "said": self.said,
            "maker": self.maker,
        }


@dataclass(frozen=True, slots=True)
class ReadLine:
    """A claim of descent from a line; `share` is None where no number is given."""

    name: str
    share: float | None
    text: str = field(compare=False)


@dataclass(frozen=True, slots=True)
class Unread:
    """Words that were not read, where they stand, and the nearest known name or an empty text."""

    text: str
    start: int = field(compare=False)
    end: int = field(compare=False)
    suggestion: str


@dataclass(frozen=True, slots=True)
class ReadWarning:
    """A remark with its stable code; positions are character offsets in the text."""

    code: str
    message: str
    start: int = field(default=0, compare=False)
    end: int = field(default=0, compare=False)

    @property
    def level(self) -> str:
        """How much it matters: "note", "ask" or "fault"."""
        return CODES[self.code].level


@dataclass(frozen=True, slots=True)
class Span:
    """Characters of the text and what became of them: "read", "separator" or "unread"."""

    start: int
    end: int
    kind: str


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """Everything read from a line of trade shorthand.

    Two readings are equal if they say the same; wording, order of genes and positions do not count.

    Parameters
    ----------
    text : str
        The line as typed.
    sex : Sex
        Sex of the animal, or of all animals counted.
    counts : SexCounts or None
        Counts such as 1.2.3 where written.
    origin : Origin or None
        Captive bred and so on; None where not written.
    hatched : PartialDate or None
        Hatch date to the precision written.
    genes : tuple of ReadGene
        One entry per allele, in reading order.
    lines : tuple of ReadLine
        Claims of descent.
    mass : tuple of (float, str) or None
        Weight and its unit (g, kg, oz, lb).
    status : tuple of str
        Status and sale words, trade words that are no genes, words about relatives.
    unread : tuple of Unread
        What was not read.
    warnings : tuple of ReadWarning
        Remarks, in reading order.
    spans : tuple of Span
        The whole text, piece by piece.
    """

    text: str
    sex: Sex = Sex.UNKNOWN
    counts: SexCounts | None = None
    origin: Origin | None = None
    hatched: PartialDate | None = None
    genes: tuple[ReadGene, ...] = ()
    lines: tuple[ReadLine, ...] = ()
    mass: tuple[float, str] | None = None
    status: tuple[str, ...] = ()
    unread: tuple[Unread, ...] = ()
    warnings: tuple[ReadWarning, ...] = ()
    spans: tuple[Span, ...] = field(default=(), repr=False)

    def _content(self) -> tuple[object, ...]:
        genes = sorted(self.genes, key=lambda gene: (gene.locus, gene.allele, gene.name))
        facts = self.sex, self.counts, self.origin, self.hatched, self.mass
        return *facts, tuple(genes), self.lines, self.status, self.unread

    def __eq__(self, other: object) -> bool:
        """True for a reading that says the same."""
        return isinstance(other, Reading) and self._content() == other._content()

    def __hash__(self) -> int:
        """Hash of what is said."""
        return hash(self._content())

    @property
    def unstated(self) -> tuple[ReadGene, ...]:
        """Genes that the text names without saying enough to give odds."""
        return tuple(gene for gene in self.genes if gene.copies is None)

    def gene(self, allele: str) -> ReadGene | None:
        """Entry of an allele key, None if the text does not speak of it."""
        return next((gene for gene in self.genes if gene.allele == allele), None)

    def belief(self, catalogue: Catalogue, basis: Basis = Basis.CLAIMED) -> GenotypeBelief:
        """Probabilities over genotypes that the text supports; see `belief.belief_of`."""
        from holdback.heredity.shorthand.belief import belief_of

        return belief_of(self, catalogue, basis=basis)

    def as_json(self, catalogue: Catalogue | None = None) -> dict[str, object]:
        """Plain values under the keys of ``holdback read --json``.

        Parameters
        ----------
        catalogue : Catalogue, optional
            Adds ``species`` to the answer.
        """
        counts = self.counts
        return {
            "text": self.text,
            **({"species": catalogue.key} if catalogue else {}),
            "sex": str(self.sex),
            "counts": counts
            and {"males": counts.males, "females": counts.females, "unknown": counts.unknown, "text": str(counts)},
            "origin": self.origin and str(self.origin),
            "hatch_year": self.hatched and self.hatched.year,
            "hatched": self.hatched and str(self.hatched),
            "genes": [gene.as_json() for gene in self.genes],
            "lines": [{"line": line.name, "share": line.share} for line in self.lines],
            "mass": self.mass and {"value": self.mass[0], "unit": self.mass[1]},
            "status": list(self.status),
            "unread": [
                {"text": part.text, "start": part.start, "end": part.end, "suggestion": part.suggestion}
                for part in self.unread
            ],
            "warnings": [
                {
                    "code": warning.code,
                    "level": warning.level,
                    "message": warning.message,
                    "start": warning.start,
                    "end": warning.end,
                }
                for warning in self.warnings
            ],
        }
