"""A conflict: what in the records cannot be true together, and what would explain it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

CODES: dict[str, str] = {
    "CNF-001": "More than two genes of one complex are written for one animal.",
    "CNF-002": "An animal is written as het of a gene that shows with one copy.",
    "CNF-003": "A recessive is written as shown and as het for the same animal.",
    "CNF-004": "An animal is written with two copies of a gene that it could not live with.",
    "CNF-010": "What is written of the look of an animal does not fit its relatives.",
    "CNF-011": "What is said of a gene of an animal does not fit its relatives.",
    "CNF-012": "The sex of an animal does not fit a sex-linked gene.",
    "CNF-013": "A gene is written without its line, and the young tell the line.",
    "CNF-020": "Young do not fit the parents recorded for them.",
    "CNF-021": "The looks of the young settle which of several possible sires it was.",
    "CNF-022": "No sire is recorded, and the looks of the young point to one.",
    "CNF-023": "An animal hatched on another day than the clutch of its recorded dam.",
    "CNF-030": "A percentage is written under a parent that shows the recessive.",
    "CNF-031": "A percentage is far from what the parents and all records support.",
    "CNF-032": "A doubtful gene is written that the recorded parents can hardly have given.",
    "CNF-040": "The young on record are fewer than the eggs that are not accounted for.",
}
"""Every code with its meaning; the reference says the same."""


class Kind(StrEnum):
    """What may explain a conflict."""

    LOOK = "wrong look"
    CLAIM = "wrong claim"
    SIRE = "wrong sire"
    DAM = "wrong dam"
    SWAP = "swapped id"
    STORED = "stored sperm"
    TWO_SIRES = "two sires"
    NO_SIRE = "no sire"
    SEX = "wrong sex"
    CARRIER = "new: carrier"
    NOT_WRITTEN = "not written down"


@dataclass(frozen=True, slots=True)
class Explanation:
    """One thing that would explain a conflict.

    Parameters
    ----------
    kind : Kind
        What sort of thing.
    words : str
        The explanation, as a sentence.
    chance : float
        Probability in [0, 1], all records counted.
    fix : str
        What to correct, as a sentence.
    record : str
        Which record: "animal 23-12", "clutch 24-03".
    field : str
        Which field of it: "sires", "dam", "genes", "sex"; empty where nothing is to be corrected.
    instead : str
        Value that would fit, empty where none is known.
    settles : str
        Which record or test would settle it, as a sentence.
    """

    kind: Kind
    words: str
    chance: float
    fix: str
    record: str
    field: str = ""
    instead: str = ""
    settles: str = ""

    def as_json(self) -> dict[str, Any]:
        """Kind, words, what to do, which record and field, the value that would fit, chance, what would settle it."""
        return {
            "kind": str(self.kind),
            "words": self.words,
            "what": self.fix,
            "record": self.record,
            "field": self.field,
            "instead": self.instead,
            "chance": self.chance,
            "settle": self.settles,
        }


@dataclass(frozen=True, slots=True)
class Conflict:
    """Records that cannot all be true.

    Parameters
    ----------
    code : str
        One of `CODES`.
    animals : tuple of str
        Ids of the animals concerned, the first the one to look at first.
    locus : str
        Locus key; empty where several loci or none speak.
    message : str
        What cannot be, as one sentence.
    chance : float
        Probability in [0, 1] that some record named here is wrong or wants completing. For a percentage: by how much
        it is off.
    explanations : tuple of Explanation
        Likeliest first.
    questions : tuple of str
        What only the keeper can say, what to do first in front.
    """

    code: str
    animals: tuple[str, ...]
    locus: str
    message: str
    chance: float
    explanations: tuple[Explanation, ...] = ()
    questions: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Code, animals, locus, message, chance, fixes (likeliest first) and questions."""
        return {
            "code": self.code,
            "animals": list(self.animals),
            "locus": self.locus,
            "message": self.message,
            "chance": self.chance,
            "fixes": [each.as_json() for each in self.explanations],
            "questions": list(self.questions),
        }
