"""What a column can be taken for, and the words keepers head it with."""

from __future__ import annotations

import re
from enum import StrEnum

from holdback.intake.numbers import unit_of


class Field(StrEnum):
    """Where the cells of a column go."""

    ID = "id"
    NAME = "name"
    SEX = "sex"
    HATCHED = "hatched"
    ORIGIN = "origin"
    SIRE = "sire"
    DAM = "dam"
    PARENTS = "parents"
    CLUTCH = "clutch"
    GENES = "genes"
    STATUS = "status"
    NOTES = "notes"
    MASS = "mass"
    SVL = "snout-vent length"
    LENGTH = "total length"
    HEAD_WIDTH = "head width"
    HEAD_LENGTH = "head length"
    GIRTH = "girth"
    MEASURED = "measured on"
    LINE = "line"
    SHARE = "line share"
    PLACE = "place"
    WITHIN = "larger place"
    DAY = "day"
    UNTIL = "last day"
    EVENT = "what happened"
    HEADED = "what its heading says"
    TAKEN = "taken or refused"
    AMOUNT = "number"
    UNIT = "unit"
    TOGETHER = "put together"
    APART = "taken apart"
    LOCKS = "locks"
    LAID = "laid"
    EGGS = "eggs"
    GOOD = "good eggs"
    SLUGS = "slugs"
    NUMBER_HATCHED = "number hatched"
    TEMPERATURE = "temperature"
    LEAVE_OUT = "leave out"


MEASURES = frozenset({Field.MASS, Field.SVL, Field.LENGTH, Field.HEAD_WIDTH, Field.HEAD_LENGTH, Field.GIRTH})
"""Fields that give a measurement."""

WEIGHTS = frozenset({Field.MASS, Field.EVENT, Field.AMOUNT})
"""Fields in which a weight can stand."""

DATED = frozenset(
    {Field.HATCHED, Field.MEASURED, Field.DAY, Field.UNTIL, Field.TOGETHER, Field.APART, Field.LOCKS, Field.LAID}
)
"""Fields that hold days."""

SEVERAL = MEASURES | {Field.NOTES, Field.LEAVE_OUT, Field.SHARE, Field.MEASURED, Field.HEADED, Field.LOCKS}
"""Fields that more than one column may go to."""

_WORDS: dict[Field, tuple[str, ...]] = {
    Field.ID: (
        "id", "#", "no", "nr", "num", "number", "tag", "tag no", "animal id", "snake id", "id no", "id number", "code",
        "ref", "reference", "animal no", "animal", "snake no", "ident", "id code", "id tag",
    ),
    Field.NAME: ("name", "called", "snake", "nickname", "animal name", "pet name", "snake name", "who"),
    Field.SEX: ("sex", "m f", "f m", "gender", "male female", "m or f", "sexed"),
    Field.HATCHED: (
        "hatched", "hatch", "dob", "d o b", "date of birth", "born", "birthday", "birth date", "birthdate",
        "hatch date", "date hatched", "hatched on", "hatch day", "year", "hatch year", "yob", "year of birth", "doh",
    ),
    Field.ORIGIN: ("origin", "cb wc", "wc cb", "cb", "bred", "captive bred", "source", "cb ch wc", "provenance"),
    Field.SIRE: ("sire", "dad", "father", "sire id", "sired by", "male parent", "papa", "sire name", "sires"),
    Field.DAM: ("dam", "mom", "mum", "mother", "dam id", "female parent", "mama", "mam", "dam name"),
    Field.PARENTS: ("parents", "pairing", "cross", "parentage", "sire x dam", "dad x mom", "breeding", "from pairing"),
    Field.CLUTCH: ("clutch", "clutch id", "clutch no", "clutch #", "clutch number"),
    Field.GENES: (
        "genes", "genetics", "gene", "morph", "morphs", "mutation", "mutations", "traits", "genotype", "looks", "look",
        "what it is", "genetic", "phenotype", "morph genes", "genes morph",
    ),
    Field.STATUS: ("status", "state", "keep sell", "keep or sell", "plan", "role", "use", "keeping"),
    Field.NOTES: ("notes", "note", "comments", "comment", "remarks", "remark", "other", "misc", "info", "extra"),
    Field.MASS: ("mass", "weight", "wt", "wgt", "weights", "weighed in", "body weight", "last weight"),
    Field.SVL: ("svl", "snout vent", "snout vent length", "s v l"),
    Field.LENGTH: ("total length", "length", "tl", "len", "long"),
    Field.HEAD_WIDTH: ("head width", "hw", "head w"),
    Field.HEAD_LENGTH: ("head length", "hl", "head l"),
    Field.GIRTH: ("girth", "mid body girth", "midbody girth", "waist"),
    Field.MEASURED: (
        "measured on", "weighed", "weighed on", "date weighed", "weigh date", "weight date", "wt date",
        "date of weight", "measured", "as of", "on", "date", "last weighed", "date measured",
    ),
    Field.LINE: ("line", "bloodline", "blood line", "line name"),
    Field.SHARE: ("share", "line share", "blood", "line blood", "of line", "percent line", "line percent"),
    Field.PLACE: (
        "place", "where", "rack", "tub", "bin", "location", "room", "shelf", "cage", "enclosure", "slot", "housing",
        "rack tub", "rack slot", "tub no", "tub #", "incubator", "box",
    ),
}  # fmt: skip

_EXACT: dict[str, Field] = {word: field for field, words in _WORDS.items() for word in words}
_LOOSE = sorted(
    ((word, field) for word, field in _EXACT.items() if len(word) > 2 and word not in {"line", "other", "who", "long"}),
    key=lambda item: -len(item[0]),
)


def heading_words(text: str) -> str:
    """Heading in lower case, with units, brackets and signs taken out.

    Examples
    --------
    >>> heading_words("Weight (g)"), heading_words("D.O.B."), heading_words("M/F")
    ('weight', 'd o b', 'm f')
    """
    words = re.sub(r"[^\w#%♂♀]+|_+", " ", text.lower()).split()
    kept = [word for word in words if not unit_of(word) or word in {"#", "m"}]
    return " ".join(kept) if kept else " ".join(words)


def heading_unit(text: str) -> str:
    """Unit named in a heading, empty if none or more than one.

    Examples
    --------
    >>> heading_unit("Weight (g)"), heading_unit("Wt g/oz"), heading_unit("M/F")
    ('g', '', '')
    """
    units = {unit_of(word) for word in re.split(r"[^\w]+|_", text.lower()) if len(word) > 1 or word == "g"}
    units.discard("")
    return units.pop() if len(units) == 1 else ""


def field_of(text: str) -> tuple[Field | None, float]:
    """Field a heading names, and how sure that is from 0 to 1.

    Examples
    --------
    >>> field_of("Dad"), field_of("Weight in March"), field_of("Karoo")
    ((<Field.SIRE: 'sire'>, 0.95), (<Field.MASS: 'mass'>, 0.7), (None, 0.0))
    """
    words = heading_words(text)
    if not words:
        return None, 0.0
    if words in _EXACT:
        return _EXACT[words], 0.95
    if unit_of(words) in ("g", "kg", "oz", "lb") and words != "#":
        return Field.MASS, 0.85
    if words.startswith("%") or words.endswith("%") or " % " in words:
        return Field.SHARE, 0.6
    padded = f" {words} "
    for word, field in _LOOSE:
        if f" {word} " in padded:
            return field, 0.7
    return None, 0.0
