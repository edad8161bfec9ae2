"""Who may breed now, females and males apart, and how long things take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.answers.season import Season
from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.season.intervals import Told
from holdback.season.outlook import Fitness, Reason, Verdict
from holdback.web.pages.components import STROKES, Column, Table
from holdback.web.pages.season.names import Names
from holdback.web.pages.size.words import grams
from holdback.web.pages.wording import counted, listed, number, span

_ORDER = (Verdict.MAY, Verdict.ASK, Verdict.NOT_YET, Verdict.REST, Verdict.STOP)
WORDS = {
    Verdict.MAY: "may breed",
    Verdict.ASK: "not known: ask the scale first",
    Verdict.NOT_YET: "not yet",
    Verdict.REST: "rests",
    Verdict.STOP: "stop: a vet first",
}
_SUMS = {Verdict.MAY: "may breed", Verdict.ASK: "not known", Verdict.NOT_YET: "not yet", Verdict.REST: "rest"}


@dataclass(frozen=True, slots=True)
class Breeders:
    """Animals of one sex.

    Parameters
    ----------
    title : str
        "Females" or "Males".
    said : str
        How many may breed, and how many may not.
    stops : tuple of (safe mark-up, str)
        Those that want a vet first, with why.
    table : Table
        Each with its verdict and reasons, those that may breed first.
    """

    title: str
    said: str
    stops: tuple[tuple[SafeString, str], ...]
    table: Table


def breeders(season: Season, names: Names) -> list[Breeders]:
    """Who may breed; a sex without anybody is left out."""
    sexes = (("Females", Sex.FEMALE), ("Males", Sex.MALE))
    animals = season.collection.animals
    groups = [(title, sex, [one for one in season.fitness if animals[one.animal].sex is sex]) for title, sex in sexes]
    return [_breeders(title, sex, found, names) for title, sex, found in groups if found]


def _breeders(title: str, sex: Sex, found: Sequence[Fitness], names: Names) -> Breeders:
    ordered = sorted(found, key=lambda one: (_ORDER.index(one.verdict), -one.load, names.label(one.animal)))
    heads = [Column("Animal"), Column("Now"), Column("Mass", is_number=True)]
    if sex is Sex.MALE:
        heads.append(Column("Females this season", is_number=True))
    heads.append(Column("Because", is_full=True))
    counts = Counter(one.verdict for one in found)
    parts = [f"{counts[verdict]} {_SUMS[verdict]}" for verdict in _ORDER if verdict in _SUMS and counts[verdict]]
    if counts[Verdict.STOP]:
        parts.append(f"{counted(counts[Verdict.STOP], 'animal')} for a vet first")
    return Breeders(
        title,
        f"{listed(parts)}.",
        tuple((names.link(one.animal), one.reasons[0].text) for one in ordered if one.verdict is Verdict.STOP),
        Table(heads, [_row(one, names, sex) for one in ordered]),
    )


def _row(one: Fitness, names: Names, sex: Sex) -> list[str]:
    cells: list[str] = [names.link(one.animal), WORDS[one.verdict], grams(one.mass_g) if one.mass_g else "—"]
    if sex is Sex.MALE:
        cells.append(str(one.load))
    return [*cells, _reasons(one.reasons)]


def _reasons(reasons: Sequence[Reason]) -> str:
    """The first reason, and the others folded away."""
    if not reasons:
        return "Nothing on record says anything of it."
    if len(reasons) == 1:
        return reasons[0].text
    more = format_html_join("", "<li>{}</li>", ((_other(one),) for one in reasons[1:]))
    return format_html(
        '{}<details class="folded"><summary>{}</summary><ul class="reason">{}</ul></details>',
        reasons[0].text,
        counted(len(reasons) - 1, "more reason"),
        more,
    )


def _other(reason: Reason) -> str:
    return reason.text if reason.verdict is Verdict.MAY else f"{WORDS[reason.verdict].capitalize()}. {reason.text}"


def lengths_table(told: Sequence[Told]) -> Table:
    """How long things take: what is usual, the keeper's own, and what is taken now."""
    heads = [
        Column("From … to"),
        Column("Usual, days", is_number=True),
        Column("Yours, days", is_number=True),
        Column("Taken now, days"),
        Column("It rests on", is_full=True),
    ]
    return Table(heads, [_length_row(one) for one in told])


def _length_row(told: Told) -> list[str]:
    own = "—" if told.own_mean is None else f"{number(told.own_mean, 1)} ({told.n_own})"
    basis = Basis.MEASURED if told.n_own else Basis.ASSUMED
    now = format_html(
        '<span class="est"><b>{}</b><span class="range">{}</span><span class="basis {}">{}</span></span>',
        told.middle,
        span(told.low, told.high),
        STROKES[basis],
        "yours" if told.n_own else basis.value,
    )
    words = told.span.value
    return [words[:1].upper() + words[1:], span(told.usual.low, told.usual.high), own, now, told.ground]
