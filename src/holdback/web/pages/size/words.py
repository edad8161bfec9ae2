"""Deviations, percentiles and reliabilities in a breeder's words."""

from __future__ import annotations

import math

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Sex
from holdback.size.evaluation import Compared, Sharpening
from holdback.web.pages.components import STROKES, LedgerRow
from holdback.web.pages.wording import GAP, number, quantity, span

_MINUS = "\u2212"
_RELIABILITIES = ((0.2, "little is known"), (0.4, "a guess"), (0.6, "fairly known"))
"""Reliabilities below which each word holds; above the last a breeding value is well known."""


def signed(value: float) -> str:
    r"""Whole number with its sign.

    Examples
    --------
    >>> signed(34.2), signed(-0.3), signed(-7.6).replace("\u2212", "-")
    ('+34', '0', '-8')
    """
    whole = round(value)
    if whole == 0:
        return "0"
    return f"{'+' if whole > 0 else _MINUS}{abs(whole):,}"


def signed_percent(value: float) -> str:
    """Signed whole percent."""
    return f"{signed(value)}{GAP}%"


def signed_span(low: float, high: float) -> str:
    """Range of signed numbers, "to" between them."""
    return f"{signed(low)} to {signed(high)}"


def deviation_row(name: str, estimate: Estimate, *, ground: str = "", word: str = "") -> LedgerRow:
    """Ledger row of a deviation in percent.

    Parameters
    ----------
    name : str
        Name of the row.
    estimate : Estimate
        In percent.
    ground : str
        One or two sentences; the estimate's own if empty.
    word : str
        Sharper word beside the stroke.
    """
    return LedgerRow(
        name,
        signed_percent(estimate.mean),
        signed_span(estimate.low, estimate.high),
        estimate.basis,
        ground or estimate.ground,
        word,
    )


def grams(estimate: Estimate) -> str:
    """Mass to the gram, from a kilogram on to ten gram."""
    return quantity(_rounded(estimate.mean), "g")


def gram_span(estimate: Estimate) -> str:
    """Range of a mass; empty where nothing is open."""
    return "" if estimate.low == estimate.high else span(_rounded(estimate.low), _rounded(estimate.high))


def _rounded(mass: float) -> float:
    return round(mass, -1) if mass >= 1000 else round(mass)


def mass_row(name: str, estimate: Estimate, *, ground: str = "", word: str = "") -> LedgerRow:
    """Ledger row of a mass in gram."""
    return LedgerRow(name, grams(estimate), gram_span(estimate), estimate.basis, ground or estimate.ground, word)


def known_in_words(reliability: float) -> str:
    """How well a breeding value is known.

    Examples
    --------
    >>> [known_in_words(one) for one in (0.1, 0.2, 0.41, 0.6)]
    ['little is known', 'a guess', 'fairly known', 'well known']
    """
    return next((words for below, words in _RELIABILITIES if reliability < below), "well known")


def plural(sex: Sex) -> str:
    """Animals of a sex: "females", "males", "animals"."""
    return "animals" if sex is Sex.UNKNOWN else f"{sex.value}s"


def place_in_hundred(share: float) -> str:
    """Number of a hundred, never none and never all.

    Examples
    --------
    >>> [place_in_hundred(one) for one in (0.2, 93.4, 99.8)]
    ['under 1', '93', 'over 99']
    """
    if share < 0.5:
        return "under 1"
    return "over 99" if share >= 99.5 else f"{share:.0f}"


def stands(found: Compared, sex: Sex) -> str:
    """Where an animal stands among ordinary ones, as a sentence."""
    place, whom = found.percentile, ordinary_whom(found, sex)
    word, ends = "Heavier", (place.low, place.mean, place.high)
    if place.mean < 50:
        word, ends = "Lighter", (100 - place.high, 100 - place.mean, 100 - place.low)
    low, middle, high = (place_in_hundred(one) for one in ends)
    return f"{word} than {middle} of 100 {whom}" + (f", {low} to {high}." if low != high else ".")


def ordinary_whom(found: Compared, sex: Sex) -> str:
    """Whom it is compared with: animals of its age, grown ones where its age is not known."""
    if math.isnan(found.age_months):
        return f"ordinary grown {plural(sex)}"
    return f"ordinary {plural(sex)} of {age_words(found.age_months)}"


def age_words(months: float) -> str:
    """Age in whole months; in days below two months.

    Examples
    --------
    >>> age_words(43.2), age_words(1.02), age_words(0.1)
    ('43 months', '31 days', '3 days')
    """
    if months < 2:
        days = round(months * 30.436875)
        return f"{days} day" if days == 1 else f"{days} days"
    return f"{months:.0f} months"


def sharpening(one: Sharpening) -> str:
    """What a measurement would bring, as a sentence."""
    gains = []
    if round(one.adult_range_then) < round(one.adult_range_now):
        now, then = number(one.adult_range_now), number(one.adult_range_then)
        gains.append(f"grown weight to within {then}{GAP}%, now {now}{GAP}%")
    before, after = known_in_words(one.reliability_now), known_in_words(one.reliability_then)
    if round(one.reliability_then, 2) > round(one.reliability_now, 2):
        words = f"{after}, now {before}" if after != before else f"still {before}"
        gains.append(f"weight passed on: {words} (reliability {one.reliability_now:.2f} to {one.reliability_then:.2f})")
    what = one.what[:1].upper() + one.what[1:]
    return f"{what}: {'; '.join(gains)}." if gains else f"{what}."


def estimate_cell(estimate: Estimate) -> SafeString:
    """A deviation in a table: value, range, basis."""
    return _cell(signed_percent(estimate.mean), signed_span(estimate.low, estimate.high), estimate.basis)


def mass_cell(estimate: Estimate, word: str = "") -> SafeString:
    """A mass in a table: value, range, basis, and a word in front of the basis."""
    cell = _cell(grams(estimate), gram_span(estimate), estimate.basis)
    return format_html('{}<br><span class="third">{}</span>', cell, word) if word else cell


def _cell(value: str, between: str, basis: Basis) -> SafeString:
    return format_html(
        '<span class="est"><b>{}</b><span class="range">{}</span><span class="basis {}">{}</span></span>',
        value,
        between,
        STROKES[basis],
        basis.value,
    )
