"""Where a project stands: who carries what the goal asks for."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.decisions.standing import Carrier, Standing
from holdback.collection.estimate import Basis
from holdback.web.pages.components import Column, Table
from holdback.web.pages.drawing import belief_bar
from holdback.web.pages.projects.words import gene_said, is_number, spaced
from holdback.web.pages.season.names import Names
from holdback.web.pages.templatetags.notebook import basis, estimate
from holdback.web.pages.wording import counted, listed, percent

SHOWN = 5
"""Animals shown before the rest is folded away."""


@dataclass(frozen=True, slots=True)
class StandsShown:
    """Where a project stands, ready for the page.

    Parameters
    ----------
    said : str
        How far it is, in a sentence or two.
    table, others : Table or None
        Animals of the way and those that carry most; the rest.
    left_out : int
        Further animals that carry something of it.
    """

    said: str
    table: Table | None
    others: Table | None
    left_out: int


def stands_shown(standing: Standing, names: Names, year: int) -> StandsShown:
    """Where a project stands.

    Parameters
    ----------
    standing : Standing
        As worked out.
    names : Names
        Of the animals.
    year : int
        The season under way, to say who is not ready yet.
    """
    on_way = sum(bool(one.steps) for one in standing.carriers)
    first = max(SHOWN, on_way)
    return StandsShown(
        said=_said(standing, names),
        table=_table(standing, standing.carriers[:first], names, year),
        others=_table(standing, standing.carriers[first:], names, year),
        left_out=standing.left_out,
    )


def one_line(standing: Standing, names: Names) -> str:
    """How a project stands, in one line."""
    return _said(standing, names)


def _said(standing: Standing, names: Names) -> str:
    if standing.have:
        who = listed([names.label(one) for one in standing.have[:3]])
        return f"{who} {'is' if len(standing.have) == 1 else 'are'} the goal already, as far as the records tell."
    if standing.generations is None:
        return f"{counted(len(standing.carriers) + standing.left_out, 'animal')} here carry something of it."
    if standing.generations == 1:
        return "One clutch away at best."
    return f"{standing.generations} generations away at best."


def _table(standing: Standing, rows: tuple[Carrier, ...], names: Names, year: int) -> Table | None:
    if not rows:
        return None
    target = standing.target
    genes = list(enumerate(target.genes))
    columns = [Column("Animal"), *(Column(g.name if g.copies else f"Without {g.name}") for _, g in genes)]
    if target.line:
        columns.append(Column(target.line))
    columns += [Column("Adult weight"), Column("Part in the goal", is_full=True)]
    lines = []
    for one in rows:
        cells: list[str] = [_who(one, names)]
        for at, gene in genes:
            bar = belief_bar(one.copies[at], gene.name, is_mini=True)
            cells.append(format_html('{} <span class="nb">{}</span>', bar, gene_said(gene, one.copies[at])))
        if target.line:
            cells.append(_share(one.share))
        mass = one.adult_mass_g
        cells.append(estimate(mass) if is_number(mass.mean) else "not known")
        cells.append(_part(one, names, year))
        lines.append(cells)
    return Table(columns, lines)


def _who(one: Carrier, names: Names) -> SafeString:
    sex = {"she": ", female", "he": ", male"}.get(names.pronoun(one.animal)[0], "")
    return format_html("{}{}", names.link(one.animal), sex)


def _share(share: float | None) -> SafeString:
    return format_html(
        '<span class="est"><b>{}</b>{}</span>', percent(share or 0.0), basis(Basis.BY_DESCENT) if share else ""
    )


def _part(one: Carrier, names: Names, year: int) -> SafeString:
    """What it is in the project; that the way counts on it, that it is not grown."""
    counted_on = format_html("<b>The way counts on {}.</b> ", names.pronoun(one.animal)[1]) if one.steps else ""
    late = f" Young from {one.ready_from} on." if one.ready_from > year + 1 else ""
    return format_html("{}{}{}", counted_on, spaced(one.part), late)
