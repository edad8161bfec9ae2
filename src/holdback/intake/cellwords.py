"""Single words in cells: sex, origin, parents in one cell."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from holdback.collection.model import Origin, Sex
from holdback.intake.numbers import Unclear

_MALE = {"m", "male", "males", "1.0", "1,0", "1.0.0", "♂", "boy", "ml", "masc", "maennlich", "1:0"}
_FEMALE = {"f", "female", "females", "fem", "0.1", "0,1", "0.1.0", "♀", "girl", "fm", "w", "0:1"}
_UNKNOWN = {
    "u", "?", "??", "unknown", "unk", "unsexed", "not sexed", "0.0.1", "0,0,1", "n/a", "na", "-", "–", "tbd", "none",
    "unsure", "not sure", "not known", "us",
}  # fmt: skip

_ORIGINS = {
    **dict.fromkeys(("cb", "cbb", "captive bred", "captive-bred", "c.b.", "captive", "bred"), Origin.CAPTIVE_BRED),
    **dict.fromkeys(("ch", "chb", "captive hatched", "captive-hatched", "c.h."), Origin.CAPTIVE_HATCHED),
    **dict.fromkeys(("fb", "farm bred", "farmed", "farm", "ranched", "farm-bred"), Origin.FARM_BRED),
    **dict.fromkeys(("wc", "wild caught", "wild-caught", "wild", "w.c.", "import"), Origin.WILD_CAUGHT),
    **dict.fromkeys(("unknown", "?", "unk", "-", "n/a", "not known"), Origin.UNKNOWN),
}

_NONE_WORDS = frozenset({"?", "??", "unknown", "unk", "n/a", "na", "-", "–", "--", "not known", "???", "x"})
_SIRE_NONE = frozenset({"none", "no sire", "no male", "parthenogenesis", "partho"})
_CROSS = re.compile(r"\s+[x×*X]\s+|\s*×\s*|\s+by\s+")
_BETWEEN = re.compile(r"\s*(?:\bor\b|\||/|\bund\b|\?\s+(?=\S))\s*")


def sex(text: str) -> Sex:
    """Sex of a cell.

    Parameters
    ----------
    text : str
        Cell as typed, such as ``F``, ``1.0``, ``male`` or ``unsure``.

    Returns
    -------
    Sex
        Unknown where the cell is empty or says so.

    Raises
    ------
    Unclear
        If it names a sex with a question mark, or none that is known.

    Examples
    --------
    >>> sex("fem."), sex("1.0"), sex("")
    (<Sex.FEMALE: 'female'>, <Sex.MALE: 'male'>, <Sex.UNKNOWN: 'unknown'>)
    """
    word = text.strip().lower()
    word = word if word in _UNKNOWN else word.rstrip(".")
    if not word or word in _UNKNOWN:
        return Sex.UNKNOWN
    if word in _MALE:
        return Sex.MALE
    if word in _FEMALE:
        return Sex.FEMALE
    bare = _bare_sex(word)
    if bare:
        raise Unclear(f"{bare}, but not sure")
    raise Unclear("not a sex")


def doubted_sex(text: str) -> Sex:
    """Sex named with a doubt (``F?``, ``prob. male``), unknown where none is.

    Examples
    --------
    >>> doubted_sex("F?"), doubted_sex("probably male"), doubted_sex("F")
    (<Sex.FEMALE: 'female'>, <Sex.MALE: 'male'>, <Sex.UNKNOWN: 'unknown'>)
    """
    bare = _bare_sex(text.strip().lower().rstrip("."))
    return Sex(bare) if bare else Sex.UNKNOWN


_DOUBT = re.compile(r"\?|\(\?\)|\b(?:prob|probably|poss|possibly|maybe|likely|think|i think|perhaps)\b\.?")


def _bare_sex(word: str) -> str:
    """Sex left when the doubt is taken away, empty if there is no doubt or no sex."""
    bare = _DOUBT.sub(" ", word).strip(" .()")
    if bare == word:
        return ""
    return "male" if bare in _MALE else "female" if bare in _FEMALE else ""


def origin(text: str) -> Origin:
    """Origin of a cell.

    Raises
    ------
    Unclear
        If it is not one of the trade's codes or words.

    Examples
    --------
    >>> origin("WC"), origin("captive bred")
    (<Origin.WILD_CAUGHT: 'wild caught'>, <Origin.CAPTIVE_BRED: 'captive bred'>)
    """
    word = text.strip().lower().rstrip(".") if text.strip().lower() not in _ORIGINS else text.strip().lower()
    if not word:
        return Origin.UNKNOWN
    if word in _ORIGINS:
        return _ORIGINS[word]
    # "CB24" carries the year with the code.
    match = re.fullmatch(r"(cb|cbb|ch|chb|fb|wc)\s*'?\d{2,4}", word)
    if match:
        return _ORIGINS[match[1]]
    raise Unclear("not an origin")


@dataclass(frozen=True, slots=True)
class ParentWords:
    """Names in a parent cell.

    Parameters
    ----------
    names : tuple of str
        Ids or names, one a candidate; empty is unknown.
    weights : tuple of float
        Weight of each candidate, or empty where none was typed.
    none : bool
        Whether the cell says that there was no sire.
    exact : bool
        Whether the names are ids of a file format, each an animal whether or not it has a row.
    """

    names: tuple[str, ...] = ()
    weights: tuple[float, ...] = ()
    none: bool = False
    exact: bool = field(default=False, repr=False)


def parent_words(text: str) -> ParentWords:
    """Candidates named in a parent cell.

    Parameters
    ----------
    text : str
        ``Mortar``, ``Mortar or Flint``, ``A7:0.8|B2:0.2``, ``none``, ``?``.

    Returns
    -------
    ParentWords
        The names in order.

    Raises
    ------
    Unclear
        If the weights cannot be read.

    Examples
    --------
    >>> parent_words("A7:0.8|B2:0.2")
    ParentWords(names=('A7', 'B2'), weights=(0.8, 0.2), none=False)
    """
    text = text.strip()
    if not text or text.lower() in _NONE_WORDS:
        return ParentWords()
    if text.lower() in _SIRE_NONE:
        return ParentWords(none=True)
    parts = [part.strip() for part in _BETWEEN.split(text) if part.strip()]
    if not any(re.search(r":\s*[\d.]+$", part) for part in parts):
        return ParentWords(tuple(parts))
    names, weights = [], []
    for part in parts:
        name, _, weight = part.rpartition(":")
        try:
            weights.append(float(weight))
        except ValueError as error:
            raise Unclear("some candidates have a weight and some have none") from error
        names.append(name.strip())
    if any(not 0 < weight <= 1 for weight in weights) or sum(weights) > 1 + 1e-9:
        raise Unclear("the weights of the candidates do not lie in 0 to 1 or sum to more than 1")
    return ParentWords(tuple(names), tuple(weights))


def parents_of_pair(text: str) -> tuple[str, str] | None:
    """Both names of a cell such as ``Mortar x Thistle``, None if it names no pair.

    Examples
    --------
    >>> parents_of_pair("Mortar x Thistle"), parents_of_pair("Mortar")
    (('Mortar', 'Thistle'), None)
    """
    parts = [part.strip() for part in _CROSS.split(text.strip())]
    return (parts[0], parts[1]) if len(parts) == 2 and all(parts) else None
