"""What the weights of a goal come to, in sentences, so that a keeper can set them by what follows."""

from __future__ import annotations

from holdback.species.catalogue import Catalogue
from holdback.web.pages.wording import number, whole_percent

EGGS_MEAN = 6.83
"""Eggs of a clutch where the species file states none."""


def eggs_of_a_clutch(catalogue: Catalogue) -> float:
    """Eggs of a clutch, as the species file has them."""
    value = catalogue.reproduction.get("clutch_size_mean")
    return value.value if value else EGGS_MEAN


def worth_in_words(worth_eggs: float, eggs: float) -> str:
    r"""What it means that reaching a goal is worth so many eggs.

    Parameters
    ----------
    worth_eggs : float
        What the goal is worth, in eggs of any pairing.
    eggs : float
        Eggs of a clutch.

    Notes
    -----
    A clutch is worth its eggs to anybody else. For this goal it is worth the chance that it brings it, times what the
    goal is worth; both are equal at the chance ``eggs / worth_eggs``.

    Examples
    --------
    >>> worth_in_words(68.3, 6.83).replace("\xa0", " ")
    'Reaching it is worth 68 eggs, some 10 clutches. A clutch goes to it from a chance of 10 % that it brings it.'
    >>> worth_in_words(4, 6.83)
    'Reaching it is worth 4 eggs. No clutch goes to it alone: any clutch is worth more.'
    """
    if worth_eggs <= eggs:
        said = f"{number(worth_eggs)} egg{'' if worth_eggs == 1 else 's'}"
        return f"Reaching it is worth {said}. No clutch goes to it alone: any clutch is worth more."
    clutches = worth_eggs / eggs
    some = f"some {number(clutches)} clutches" if clutches >= 1.5 else "about a clutch"
    return (
        f"Reaching it is worth {number(worth_eggs)} eggs, {some}. "
        f"A clutch goes to it from a chance of {whole_percent(eggs / worth_eggs)} that it brings it."
    )


def year_in_words(year_worth_eggs: float, eggs: float) -> str:
    """What it means that a year sooner is worth so many eggs.

    Examples
    --------
    >>> year_in_words(12, 6.83)
    'A way that is a year longer is taken where it saves more than 12 eggs, about 2 clutches.'
    >>> year_in_words(0, 6.83)
    'It may take as long as it takes: of two ways the one with fewer eggs is taken.'
    """
    if year_worth_eggs <= 0:
        return "It may take as long as it takes: of two ways the one with fewer eggs is taken."
    clutches = round(year_worth_eggs / eggs)
    few = "less than a clutch" if clutches < 1 else "about a clutch"
    about = few if clutches < 2 else f"about {clutches} clutches"
    said = f"{number(year_worth_eggs, 1)} egg{'' if year_worth_eggs == 1 else 's'}"
    return f"A way that is a year longer is taken where it saves more than {said}, {about}."
