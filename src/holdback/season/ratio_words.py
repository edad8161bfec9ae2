"""What a test of a ratio says, in a breeder's words."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.season.outlook import LookCount

NOTICED = 0.05
"""p value at which a misfit counts as noticed."""

_NEXT_TO_IMPOSSIBLE = 0.0005


def said_of(looks: Sequence[LookCount], p_value: float, *, n: int, could_tell: int, unseen: int) -> str:
    """Answer of a test in a few sentences.

    Parameters
    ----------
    looks : sequence of LookCount
        Foretold, and what came.
    p_value : float
        Chance of a result as unlikely as this or more so.
    n : int
        Young looked at.
    could_tell : int
        Young needed to notice that the commonest look comes half as often; 0 where no number would do.
    unseen : int
        Eggs of which no look is on record.

    Returns
    -------
    str
        Never that a ratio is right: only that nothing speaks against it, and how little few young can tell.
    """
    if n == 0:
        return " ".join(["No look is on record yet.", *_unseen(unseen)])
    wrong = [one for one in looks if one.came and one.foretold <= 0]
    if wrong:
        names = " and ".join(f"{one.came} {one.look}" for one in wrong)
        cannot = f"{names} came, and by what is on record that cannot be: one record is wrong, "
        return cannot + "a parent, a gene of one, or the look."
    return " ".join([_judged(looks, p_value, n), *_too_few(looks, p_value, n, could_tell), *_unseen(unseen)])


def times_in(chance: float) -> str:
    """Chance as a natural frequency: "2 in 100 times".

    Examples
    --------
    >>> times_in(0.0215), times_in(0.43), times_in(0.004), times_in(0.00002), times_in(1.0)
    ('2 in 100 times', '43 in 100 times', '4 in 1,000 times', 'fewer than 1 in 10,000 times', 'every time')
    """
    for base in (100, 1_000, 10_000):
        if round(chance * base) >= 1 and (chance * base >= 1.5 or base == 10_000):
            return "every time" if round(chance * base) >= base else f"{round(chance * base)} in {base:,} times"
    return "fewer than 1 in 10,000 times"


def _judged(looks: Sequence[LookCount], p_value: float, n: int) -> str:
    """What came beside what was foretold, and how often chance alone does as much."""
    over = [one for one in looks if one.came >= n * one.foretold]
    far = max(over if len(looks) == 2 else looks, key=lambda one: abs(one.came - n * one.foretold))
    seen = f"{far.came} of {n} {far.look}, where about {_about(n * far.foretold)} were foretold"
    often = f"results as unlikely as that come {times_in(p_value)} by chance alone"
    if p_value > NOTICED:
        return f"{seen}: {often}, so nothing here speaks against the odds."
    if p_value > _NEXT_TO_IMPOSSIBLE:
        return f"{seen}: {often}. Of twenty ratios one looks like this with nothing wrong; look at the records again."
    return f"{seen}: {often}. Look at the records: a parent, a gene of one, or the looks may be wrong."


def _about(number: float) -> str:
    """Expected number to a figure that means something."""
    rounded = round(number, 1) if number < 10 else round(number)
    return f"{rounded:g}"


def _too_few(looks: Sequence[LookCount], p_value: float, n: int, could_tell: int) -> list[str]:
    """That so few young cannot tell, where they cannot."""
    if p_value <= NOTICED or 0 < could_tell <= n:
        return []
    few = f"{_number(n)} young cannot tell"
    if not could_tell:
        return [f"{few}, and no number up to 1,000 would."]
    commonest = max(looks, key=lambda one: one.foretold)
    return [f"{few}: it takes {could_tell} to notice that {commonest.look} comes half as often."]


def _number(n: int) -> str:
    words = ("None", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")
    return words[n] if n < len(words) else str(n)


def _unseen(unseen: int) -> list[str]:
    """That eggs without a look are left out."""
    if not unseen:
        return []
    of = "1 egg has" if unseen == 1 else f"{unseen} eggs have"
    return [f"{of} no look on record; the test takes it that they would have shown the same odds."]
