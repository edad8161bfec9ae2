"""Words for hatchlings, numbers and lists in sentences."""

from __future__ import annotations

from holdback.collection.model import Sex
from holdback.decisions.stock import Stock


def name(stock: Stock, animal: str) -> str:
    """What an animal is called."""
    return stock.names.get(animal, animal)


def in_100(percent: float) -> str:
    """A chance of 100 as a whole number, never 0 or 100 where it is not."""
    whole = round(percent)
    if whole <= 0 < percent:
        return "less than 1"
    return "99" if whole >= 100 > percent else str(whole)


def pronoun(sex: Sex) -> str:
    """She, he, or it where the sex is not known."""
    return {Sex.FEMALE: "she", Sex.MALE: "he"}.get(sex, "it")


def sibling(sex: Sex) -> str:
    """Sister, brother, or clutch mate where the sex is not known."""
    return {Sex.FEMALE: "sister", Sex.MALE: "brother"}.get(sex, "clutch mate")


def fraction(chance: float) -> str:
    """A chance as a breeder says it: "1 in 2", "2 in 3", else in 100."""
    for text, value in (("1 in 2", 1 / 2), ("2 in 3", 2 / 3), ("1 in 3", 1 / 3), ("1 in 4", 1 / 4), ("3 in 4", 3 / 4)):
        if abs(chance - value) < 0.005:
            return text
    return f"{in_100(100 * chance)} in 100"


def number(n: int) -> str:
    """A small number in words."""
    words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    return words[n] if n < len(words) else str(n)
