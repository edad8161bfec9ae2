"""What things cost a keeper."""

from __future__ import annotations

from dataclasses import dataclass

UNNAMED = "of your money"
"""Stands for the currency where nobody named it."""


@dataclass(frozen=True, slots=True)
class Prices:
    """What things cost, in the keeper's own currency; None where nobody said.

    Parameters
    ----------
    tub_year : float or None
        Keeping a young in a tub for a year, without feed.
    feed_gram : float or None
        A gram of prey.
    vet : float or None
        A visit to the vet.
    egg_place : float or None
        A place in an incubator for one egg until it hatches.
    currency : str
        What it is counted in, as typed; may be empty.

    Examples
    --------
    >>> Prices(tub_year=40.0, feed_gram=0.012).year_of_young(2500)
    70.0
    >>> Prices(tub_year=40.0).year_of_young(2500) is None
    True
    """

    tub_year: float | None = None
    feed_gram: float | None = None
    vet: float | None = None
    egg_place: float | None = None
    currency: str = ""

    def year_of_young(self, feed_g: float) -> float | None:
        """Cost of holding a young back for a year; None where a price that it needs is not known.

        Parameters
        ----------
        feed_g : float
            Prey that it eats in the year, in gram.
        """
        if self.tub_year is None or self.feed_gram is None:
            return None
        return self.tub_year + self.feed_gram * feed_g

    def of_eggs(self, n: float) -> float | None:
        """Cost of the places of some eggs; None where nobody said what one costs."""
        return None if self.egg_place is None else self.egg_place * n

    def in_words(self, amount: float) -> str:
        """Amount with its currency.

        Examples
        --------
        >>> Prices(currency="EUR").in_words(70.0), Prices().in_words(12.5)
        ('70 EUR', '12.50 of your money')
        """
        figure = f"{amount:.0f}" if float(amount).is_integer() else f"{amount:.2f}"
        return f"{figure} {self.currency or UNNAMED}"
