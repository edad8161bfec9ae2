"""The stable codes of everything that can be wrong with a collection, each with its meaning in a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CODES: Mapping[str, str] = MappingProxyType(
    {
        "COL-001": "There is no such folder, or it has no animals.csv.",
        "COL-002": "A file is not UTF-8 text.",
        "COL-003": "A file is not comma-separated, or its quotes do not close.",
        "COL-004": "A column has a name that this file does not know.",
        "COL-005": "A column that must be there is missing.",
        "COL-006": "A column stands twice in the header.",
        "COL-007": "A row holds more cells than the header has columns.",
        "COL-008": "A file has a name close to one of ours, and is not one of ours.",
        "COL-009": "datapackage.json cannot be read.",
        "COL-010": "A cell that must be filled is empty.",
        "COL-011": "A date has another form than YYYY, YYYY-MM or YYYY-MM-DD, or no calendar has it.",
        "COL-012": "A cell that must be a number is none.",
        "COL-013": "A word is not one of those that the column takes.",
        "COL-014": "Candidate sires are not written as the format asks.",
        "COL-015": "An id cannot be used.",
        "COL-016": "A text holds a character that cannot be printed.",
        "COL-017": "A number lies outside what it can be.",
        "COL-018": "A unit does not fit what was measured.",
        "COL-019": "The share of a line lies outside 0 to 1, or its lower end above its upper end.",
        "COL-020": "The weights of candidate sires lie outside 0 to 1, or sum to more than 1.",
        "COL-021": "A candidate sire is named twice.",
        "COL-022": "The chances of no, one and two copies lie outside 0 to 1, or do not sum to 1.",
        "COL-023": "A place of origin says nothing, or its coordinates lie outside what they can be or lack one.",
        "COL-024": "A country is not written as a code of ISO 3166-1 (two letters).",
        "COL-025": "A time of day is not written as HH:MM.",
        "COL-026": "A reading of warmth has no day.",
        "COL-027": "An entry of a list is empty, stands twice, or holds a | or a line break.",
        "COL-030": "An id is used twice.",
        "COL-031": "A parent is not in animals.csv.",
        "COL-032": "An animal, a clutch, an egg or a project that a row names is not there.",
        "COL-033": "A dam is recorded as male, or a sire as female.",
        "COL-034": "An animal is recorded as its own parent.",
        "COL-035": "One animal is recorded as both sire and dam.",
        "COL-036": "An animal is its own ancestor.",
        "COL-037": "A parent hatched after its offspring, or on the same day.",
        "COL-038": "The dam of an animal is not the dam of its clutch.",
        "COL-039": "The eggs of a clutch do not add up.",
        "COL-040": "An egg and its hatchling do not agree.",
        "COL-041": "Two dates stand in the wrong order.",
        "COL-042": "A row says the same thing as an earlier one.",
        "COL-043": "A look at an egg and what became of the egg do not agree.",
        "COL-044": "A young that died in the egg is named as a parent.",
        "COL-045": "The wish for adult size and its weights do not agree.",
    }
)
