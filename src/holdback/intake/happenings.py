"""What a cell of a log says: the kind of happening, its number and its note, in the short words of keepers.

The words are the trade's own short forms (common practice, no source). What is none of them is not guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from holdback.collection.event_kinds import (
    DIED,
    KINDS,
    LAID,
    LENT,
    LOCK,
    MEAL,
    MOVED,
    NEST_BOX,
    OVULATION,
    PRELAY_SHED,
    QUARANTINE,
    SHED,
    SOLD,
    SWAB,
    TREATMENT,
    ULTRASOUND,
    VET,
)
from holdback.intake.numbers import GRAMS, Unclear, number, quantity
from holdback.intake.sheets import Cell

WEIGHT = "weight"
"""A weight; it lands as a measurement."""

NOTE = "note"
"""A remark of a day; nothing is concluded from it."""


CONDITIONS = ("empty", "fed", "gravid", "in shed", "after laying")
"""What an animal was like when it was weighed, in the words of the records."""


@dataclass(frozen=True, slots=True)
class Said:
    """One happening as a cell tells it.

    Parameters
    ----------
    kind : str
        Word of the event, or `WEIGHT`.
    note : str
        What else the cell says.
    value : float or None
        Number, in `unit`.
    unit : str
        Unit; empty for a weight whose unit is not written.
    figures : str
        A weight as typed.
    """

    kind: str
    note: str = ""
    value: float | None = None
    unit: str = ""
    figures: str = ""


_SHORT: dict[str, tuple[str, ...]] = {
    MEAL: ("fd", "ate", "eaten", "took", "food", "fed x", "feeds", "eating"),
    SHED: ("sheds", "full shed", "complete shed", "clean shed", "sloughed", "good shed"),
    PRELAY_SHED: ("pre lay", "prelay", "pre-lay", "post ovulation shed", "pos"),
    OVULATION: ("ov", "ovul", "ovulating", "ovulate"),
    ULTRASOUND: ("u/s", "us'd", "scanned", "follicle", "foll", "ultrasounded"),
    LOCK: ("locked up", "seen locked", "lock seen", "lock up", "copulating"),
    LAID: ("laid eggs", "laid clutch"),
    NEST_BOX: ("nestbox", "lay box", "laybox", "nest box in", "lay box in"),
    TREATMENT: ("treated", "treat", "meds", "medicated", "wormed", "dewormed", "worming", "tx"),
    VET: ("vet visit", "vet check", "to vet"),
    QUARANTINE: ("quarantined", "in quarantine"),
    SWAB: ("swabbed", "swabs"),
    MOVED: ("moved to", "move to", "move"),
    SOLD: ("sold to",),
    LENT: ("lent to", "loaned", "loaned to", "on loan", "on loan to"),
    DIED: ("found dead", "passed"),
    WEIGHT: ("wt", "wgt", "weighed", "weigh", "weighs", "weighed in", "weight"),
    NOTE: ("remark",),
}  # fmt: skip
_KEPT = (
    "cleaned", "clean", "tub change", "bedding", "water", "water change", "soaked", "soak", "handled", "photo",
    "in shed", "probed", "popped", "paired", "candled", "spot clean", "sub change", "watered",
)  # fmt: skip
"""Words of upkeep that are kept as they are."""

_IN_SHED = ("blue", "in blue", "opaque", "in shed", "going into shed")
_REFUSED = (
    "ref", "refused", "refuse", "refusal", "refuses", "refd", "ref'd", "did not eat", "didn't eat", "not eaten",
    "no feed", "not taken", "left it",
)  # fmt: skip
_CAME_UP = ("regurg", "regurgitated", "regurge", "regurgitation", "vomited", "came up")
_BAD_SHED = ("bad shed", "stuck shed", "incomplete shed", "partial shed", "shed in pieces", "retained shed")

_LEADS: dict[str, Said] = {
    **{word: Said(kind.word) for kind in KINDS.values() for word in (kind.word, *kind.also)},
    **{word: Said(kind) for kind, words in _SHORT.items() for word in words},
    **{word: Said(word) for word in _KEPT},
    **dict.fromkeys(_IN_SHED, Said("in shed")),
    **dict.fromkeys(_REFUSED, Said(MEAL, "refused")),
    **dict.fromkeys(_CAME_UP, Said(MEAL, "regurgitated")),
    **{word: Said(SHED, word) for word in _BAD_SHED},
}
_LONGEST = max(len(word.split()) for word in _LEADS)
_PREY = re.compile(
    r"\b(?:rats?|mice|mouse|pups?|pink(?:y|ie|ies)|fuzz(?:y|ies)|hoppers?|weaners?|weanlings?|asfs?|chicks?|quails?"
    r"|gerbils?|hamsters?|rabbits?)\b|\bf/t\b"
)
_PARTS = re.compile(r"\s*[;,+&]\s*|\s+and\s+")
_GRAMS = re.compile(r"(?<![\d.,])(\d+(?:[.,]\d+)?)\s*(?:g|gr|gm|gms|grams?)\b")
_MILLIMETRES = re.compile(r"(?<![\d.,])(\d+(?:[.,]\d+)?)\s*(?:mm|mil)\b")
_CONDITION = re.compile(rf"(.*\d.*?)[\s,(]+({'|'.join(CONDITIONS)})\)?", re.IGNORECASE)
_WITH = re.compile(r"^(?:w/|w\b|with\b|to\b|by\b|x\b)\s*", re.IGNORECASE)


def said(text: str, *, decimal: str = "") -> tuple[Said, ...]:
    """Happenings that a cell tells of; empty where it cannot be read.

    Parameters
    ----------
    text : str
        ``fed 1 med rat``, ``ref``, ``1 rat M``, ``wt 1450``, ``US 22 mm x 6``, ``shed + 1420 g``.
    decimal : str
        Decimal sign; empty where it is not known.

    Returns
    -------
    tuple of Said
        In the order of the cell. A weight without a unit has none.

    Examples
    --------
    >>> [one.kind for one in said("shed + 1420 g")], said("ref")[0].note, said("heavy")
    (['shed', 'weight'], 'refused', ())
    """
    text = " ".join(text.split())
    parts = [part for part in _PARTS.split(text) if part]
    if len(parts) > 1:
        each = [_one(part, decimal) for part in parts]
        kinds = [one.kind for one in each if one]
        if len(kinds) == len(parts) == len(set(kinds)):
            return tuple(one for one in each if one)
    whole = _one(text, decimal)
    return (whole,) if whole else ()


def said_of(lead: Said, rest: str, *, decimal: str = "") -> Said:
    """A happening with what is written beside it: its number found, the rest as note.

    Parameters
    ----------
    lead : Said
        The kind.
    rest : str
        Text beside it.
    decimal : str
        Decimal sign; empty where it is not known.

    Returns
    -------
    Said
        A meal has the gram of its prey where one mass is named; an ultrasound the largest millimetres.
    """
    rest = rest.strip(" :-–.")
    if lead.kind == WEIGHT:
        return _weight(rest, decimal)
    found = replace(lead, note=": ".join(part for part in (lead.note, rest) if part))
    folded = rest.casefold()
    if lead.kind == MEAL and len(masses := _GRAMS.findall(folded)) == 1 and not _several(folded):
        return replace(found, value=_plain(masses[0]), unit="g")
    if lead.kind == ULTRASOUND:
        widths = [_plain(each) for each in _MILLIMETRES.findall(folded)]
        if re.fullmatch(r"\d+(?:[.,]\d+)?", folded):
            return Said(ULTRASOUND, value=_plain(folded), unit="mm")
        only = re.fullmatch(r"\d+(?:[.,]\d+)?\s*mm", folded)
        return replace(found, note="" if only else rest, value=max(widths), unit="mm") if widths else found
    if lead.kind == LAID and len(masses := _GRAMS.findall(folded)) == 1:
        return replace(found, value=_plain(masses[0]), unit="g")
    if lead.kind in (LOCK, MOVED, LENT, SOLD):
        return replace(found, note=without_with(found.note))
    return found


def without_with(text: str) -> str:
    """Text without the ``with``, ``w/`` or ``to`` it begins with.

    Examples
    --------
    >>> without_with("w/ Mortar"), without_with("Mortar")
    ('Mortar', 'Mortar')
    """
    return _WITH.sub("", text)


def _one(text: str, decimal: str) -> Said | None:
    """One happening, None where the text tells of none."""
    words = text.split()
    folded = [word.casefold().rstrip(":") for word in words]
    for length in range(min(_LONGEST, len(words)), 0, -1):
        lead = _LEADS.get(" ".join(folded[:length]).rstrip(".!"))
        if lead is not None:
            return said_of(lead, " ".join(words[length:]), decimal=decimal)
    glued = re.match(r"(wt|us|fed|fd)[:=-]?(?=\d)", text, re.IGNORECASE)
    if glued:
        return said_of(_LEADS[glued[1].casefold()], text[glued.end() :], decimal=decimal)
    if _PREY.search(text.casefold()):
        return said_of(Said(MEAL), text, decimal=decimal)
    return _weight(text, decimal) if _weight(text, ".").unit in GRAMS else None


def _weight(text: str, decimal: str) -> Said:
    """A weight, without a value where it cannot be read; its note is the condition, or its text where it is about."""
    condition = _CONDITION.fullmatch(text)
    if condition:
        return replace(_weight(condition[1], decimal), note=condition[2].casefold())
    try:
        found = quantity(Cell(text), decimal=decimal)
    except Unclear:
        return Said(WEIGHT, figures=text)
    return Said(WEIGHT, text if found.about else "", found.value, found.unit, text)


def _several(text: str) -> bool:
    """Whether a meal was of more than one animal."""
    count = re.match(r"(\d+)\s*(?:x\b|[a-z])", text)
    return (count is not None and int(count[1]) > 1 and not _GRAMS.match(text)) or bool(re.search(r"\d\s*x\s*\d", text))


def _plain(text: str) -> float:
    return number(text.replace(",", "."), decimal=".")
