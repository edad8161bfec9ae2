"""A clutch in numbers: masses, when it hatches, how many come out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from holdback.answers.season import Season
from holdback.answers.season.words import day_words, window_words
from holdback.collection.estimate import Basis
from holdback.season.clutch_masses import ClutchMasses, clutch_masses
from holdback.season.outlook import ClutchOutlook
from holdback.web.pages.components import LedgerRow
from holdback.web.pages.wording import GAP, counted, number, quantity, span


def number_rows(season: Season, name: str) -> list[LedgerRow]:
    """Rows of the ledger, without the sires."""
    outlook = season.clutch(name)
    rows = list(_mass_rows(clutch_masses(season.collection, season.collection.clutches[name]), outlook.laid))
    return [*rows, *_day_rows(outlook, season.on), *_young_rows(season, outlook), *_warmth_rows(outlook)]


def _mass_rows(masses: ClutchMasses, laid: int) -> Iterator[LedgerRow]:
    if masses.whole_g:
        share = f"{100 * masses.share:.0f}{GAP}% of her mass before laying" if masses.share else ""
        ground = " ".join([*([f"{share}."] if share else []), *(["Its eggs added up."] if masses.is_summed else [])])
        eggs = counted(laid, "egg") if laid else ""
        yield LedgerRow("Clutch", quantity(masses.whole_g, "g"), eggs, Basis.MEASURED, ground)
    if masses.good_mean_g:
        good = masses.good_g
        ends = span(min(good), max(good)) if len(good) > 1 else ""
        ground = f"Mean of {counted(len(good), 'egg')} weighed that {'are' if len(good) > 1 else 'is'} no slug."
        yield LedgerRow("Eggs", quantity(masses.good_mean_g, "g"), ends, Basis.MEASURED, ground)


def _day_rows(outlook: ClutchOutlook, today: dt.date) -> Iterator[LedgerRow]:
    for name, window in (("Hatches", outlook.hatching), ("Ready to go", outlook.ready)):
        if window is None:
            continue
        when = day_words(window.law.likeliest, today=today)
        ground = window.estimate.ground
        own = "on your clutches" if window.n_own and window.estimate.basis is Basis.MEASURED else ""
        yield LedgerRow(
            name, when, window_words(window.law, today=today), window.estimate.basis, _sentence(ground), word=own
        )


def _young_rows(season: Season, outlook: ClutchOutlook) -> Iterator[LedgerRow]:
    if not outlook.alive and not outlook.unknown and outlook.laid:
        return
    low, high = outlook.young.window()
    if low == high:
        yield LedgerRow("Young", str(low))
        return
    basis = Basis.MEASURED if season.counts.n_own else Basis.ASSUMED
    ground = f"{_sentence(outlook.ground)} Eight in ten such clutches lie in the range."
    yield LedgerRow("Young", number(outlook.young.mean, 1), span(low, high), basis, ground)


def _warmth_rows(outlook: ClutchOutlook) -> Iterator[LedgerRow]:
    if outlook.celsius:
        row = LedgerRow.of("Warmth so far", outlook.celsius, digits=1)
        yield LedgerRow(row.name, row.value, row.range, row.basis, _sentence(row.ground))


def _sentence(text: str) -> str:
    """Text that begins large and ends with a full stop."""
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}" if text else ""
