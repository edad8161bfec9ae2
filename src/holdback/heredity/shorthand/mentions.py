"""What one place of the text says of one allele, before statements are set against each other."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from holdback.species.model import Allele


class Said(StrEnum):
    """What a mention claims."""

    ONE = "one visible copy"
    VISUAL = "visual recessive"
    TWO = "two copies"
    HET = "het with a chance"
    DOUBT = "one copy with a chance"
    TWO_DOUBT = "shown, two copies with a chance"
    OPEN_HET = "het, chance not stated"
    OPEN_SUPER = "shown, one or two copies"
    OPEN = "not stated"
    ABSENT = "absent"


@dataclass(slots=True)
class Mention:
    """One claim on one allele.

    Parameters
    ----------
    allele : Allele or None
        None where only the locus is said.
    locus : str
        Locus key.
    said : Said
        Claim.
    source : str
        How it was said, for the reader's answer.
    start, end : int
        Place in the text.
    text : str
        Words.
    chance : float
        Chance that goes with HET, DOUBT and TWO_DOUBT, in [0, 1].
    combo : str
        Trade name it came from; empty for a gene named by itself.
    assumed : bool
        True where the chance is not in the text.
    joined : bool
        True where a slash joins it to the mention before ("X/X").
    label : str
        Name where there is no allele.
    """

    allele: Allele | None
    locus: str
    said: Said
    source: str
    start: int
    end: int
    text: str
    chance: float = 1.0
    combo: str = ""
    assumed: bool = False
    joined: bool = False
    label: str = ""


@dataclass(slots=True)
class Scope:
    """A "het" that is still open: what the genes after it are het for."""

    chance: float | None
    source: str
    count: int
    start: int
    end: int
    own_percent: bool
    used: bool = False
    members: list[Mention] = field(default_factory=list)
