"""Words of the trade that are no gene names: what each is to the grammar.

Common practice, no source. Nothing of any species stands here; gene names come from the species file.
"""

from __future__ import annotations

from holdback.collection.model import Origin, Sex


def squashed(text: str) -> str:
    """Letters and digits of a text in lower case, so that case, hyphens and spaces do not count.

    Examples
    --------
    >>> squashed("Killer-Bee") == squashed("killerbee")
    True
    """
    return "".join(letter for letter in text.casefold() if letter.isalnum())


Entry = tuple[str, object]
"""Kind of token, and what it carries."""


def _many(kind: str, carried: object, words: str) -> dict[str, Entry]:
    return {squashed(word): (kind, carried) for word in words.split("|")}


def _each(kind: str, words: str) -> dict[str, Entry]:
    """Words that carry themselves."""
    return {squashed(word): (kind, word) for word in words.split("|")}


_HATCHED_LOOSELY = (Origin.CAPTIVE_HATCHED, "", True)

WORDS: dict[str, Entry] = {
    **_many("HET", (1, False), "het|hets|heterozygous"),
    **_many("HET", (0, True), "ph"),
    **_many("HET", (2, False), "dh|double het|2x het"),
    **_many("HET", (3, False), "th|triple het|3x het"),
    **_many("HET", (4, False), "qh|quad het|quadruple het|4x het"),
    **_many("POSS", None, "poss|pos|possible|possibly|maybe|probable|probably|prob"),
    **_many("VISUAL", None, "visual|vis"),
    **_many("SUPER", "super", "super"),
    **_many("SUPER", "homozygous", "homozygous|homo"),
    **_many("TWICE", None, "2x|x2|two copy|two copies of|two copies"),
    **_many("UNSTATED", None, "not stated|unstated"),
    **_many("PROVEN", None, "proven"),
    **_many("NO", None, "no|not|without"),
    **_many("COMPLEX", None, "complex|gene complex"),
    **_many("LINE", None, "line|lines|stock|lineage|bloodline|blood"),
    **_many("FROM", "line", "from|out of"),
    **_many(
        "FROM",
        None,
        "locked|locked with|paired|paired with|put to|"
        "offspring of|son of|daughter of|sib to|sibs to|sib of|sibling to|sibling of|siblings to|brother to|"
        "brother of|sister to|sister of|"
        "clutchmate to|clutchmate of|sib|sibling",
    ),
    **_many("FROM", None, "sire|dam|father|mother|parents|parent|dad is|mum is|mom is"),
    **_many("TIMES", None, "x|×|crossed to|bred to"),
    **_many("MAKER", "male maker", "mm|male maker"),
    **_many("MAKER", "female maker", "fm|female maker"),
    **_many("SEX", Sex.MALE, "male|m|boy"),
    **_many("SEX", Sex.FEMALE, "female|f|girl"),
    **_many("SEX", Sex.UNKNOWN, "unsexed|sex unknown|unknown sex"),
    **_many("ORIGIN", (Origin.CAPTIVE_BRED, "", False), "cb|cbb|captive bred|captive bred and born|captive born"),
    **_many("ORIGIN", (Origin.CAPTIVE_HATCHED, "", False), "ch|captive hatched"),
    **_many("ORIGIN", _HATCHED_LOOSELY, "chb|captive hatched and born"),
    **_many("ORIGIN", (Origin.WILD_CAUGHT, "", False), "wc|wild caught"),
    **_many("ORIGIN", (Origin.FARM_BRED, "", False), "fb|farm bred|farmed|ranched|farm raised"),
    **_many("ORIGIN", (None, "long-term captive", True), "ltc|long term captive"),
    **_many("ORIGIN", (Origin.CAPTIVE_BRED, "F1", True), "f1"),
    **_many("ORIGIN", (Origin.CAPTIVE_BRED, "F2", True), "f2"),
    **_many("HATCH", None, "hatched|hatch|hatch date|hatch year|dob|date of birth|born"),
    **_many("MASSUNIT", "g", "g|gr|grs|gram|gm|gms"),
    **_many("MASSUNIT", "kg", "kg|kgs|kilo|kilogram"),
    **_many("MASSUNIT", "oz", "oz|ounce"),
    **_many("MASSUNIT", "lb", "lb|lbs|pound"),
    **_many("PERCENT", None, "percent|pct"),
    **_many("NUMBERED", None, "clutch|egg|tub|rack|id|number|taken"),
    **_many("STATUS", "normal", "wt|normal|classic|wild type"),
    **_each(
        "STATUS",
        "holdback|breeder|proven breeder|proven male|proven female|proven sire|proven dam|retired|project|adult|"
        "subadult|sub adult|hatchling|juvenile|yearling|pair|trio|ready to breed|ready|up to weight|gravid|virgin|"
        "for sale|sold|available|on hold|reserved|died|dead|loan|breeding loan|paradox|keeper|eating|feeding|"
        "great feeder|eats live|frozen thawed",
    ),
    **_each(
        "STATUS",
        "NFS|not for sale|OBO|or best offer|PP|DOA policy|DOA|PPD|shipping|shipped|firm|ONO|negotiable",
    ),
    **_many("AND", None, "and|n"),
    **_many(
        "FILLER",
        None,
        "with|w|the|a|an|is|of|it|in|for|has|have|this|gene|genes|combo|morph|allelic|carrying|carries|carrier|"
        "copy|single|one copy|1x|approx|about|weighs|weight|weighing|year|sex|sexed|colour|color|snake|"
        "plus|to|by|on|at|genetics|python",
    ),
}
"""Squashed word to its kind and what it carries."""

_MONTH_NAMES = (
    "january jan|february feb|march mar|april apr|may|june jun|july jul|august aug|september sep sept|october oct|"
    "november nov|december dec"
)

MONTHS = {name: number for number, names in enumerate(_MONTH_NAMES.split("|"), start=1) for name in names.split()}
"""Month name to its number."""

ROUNDED: dict[str, float] = {
    "66": 2 / 3,
    "66.6": 2 / 3,
    "66.7": 2 / 3,
    "67": 2 / 3,
    "33": 1 / 3,
    "33.3": 1 / 3,
    "57": 4 / 7,
    "16": 1 / 6,
    "17": 1 / 6,
    "12": 1 / 8,
}
"""Percentages that the trade rounds, and the chance each stands for (two in three is written 66 %)."""


def chance_of(percent: str) -> float:
    """Chance that a percentage stands for, in [0, ...).

    Parameters
    ----------
    percent : str
        Digits as typed, with a decimal point or comma.

    Notes
    -----
    66 % is the trade's way to write two in three. A number with more decimals is taken as it stands: 66.00 is 0.66.

    Examples
    --------
    >>> chance_of("66") == 2 / 3, chance_of("50"), chance_of("66.00")
    (True, 0.5, 0.66)
    """
    plain = percent.replace(",", ".")
    if plain in ROUNDED:
        return ROUNDED[plain]
    from decimal import Decimal

    return float(Decimal(plain) / 100)


def percent_of(chance: float) -> str:
    """Digits that `chance_of` reads back as the same chance.

    Examples
    --------
    >>> percent_of(2 / 3), percent_of(0.5), percent_of(0.66)
    ('66', '50', '66.00')
    """
    for digits, rounded in ROUNDED.items():
        if rounded == chance:
            return digits
    from decimal import Decimal

    digits = format((Decimal(repr(chance)) * 100).normalize(), "f")
    if digits in ROUNDED:
        digits += ".00" if "." not in digits else "0"
    return digits
