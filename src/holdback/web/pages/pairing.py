"""The pair page's answer: title sentence, looks, what stays hidden, this clutch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from holdback.answers import PairOdds
from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount, Outcome, TurnsOn, WantOdds
from holdback.species.catalogue import Catalogue
from holdback.web.pages.charts import Axis, Curve, Figure, axis_to
from holdback.web.pages.components import BeliefRow, Column, LedgerRow, Table
from holdback.web.pages.drawing import ovals
from holdback.web.pages.parent_words import carried, in_a_sentence, seen
from holdback.web.pages.wording import (
    SURE,
    WORTH_TELLING,
    about,
    eggs_of,
    het_percent,
    number,
    percent,
    quantity,
    span,
    whole_percent,
)

SIXTEENTH = 1 / 16
LEAST_LISTED = 0.001
"""Chance below which a look is not listed: records may err, so almost anything can come once in a thousand eggs."""
_LEAST_DRAWN = 1e-4
"""Chance of a wish in one egg below which no figure is drawn: it would rest on errors in the records alone."""
_GRID = (0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 22, 27, 33, 40)


@dataclass(frozen=True, slots=True)
class LookLine:
    """One look of the young as the list shows it, with what unfolds."""

    label: str
    trade_name: str
    ovals: str
    frequency: str
    percent: str
    hidden: tuple[str, ...]
    sexes: str
    is_lost: bool


def look_lines(found: PairOdds, catalogue: Catalogue) -> list[LookLine]:
    """Looks, likeliest first, each with the genes that stay hidden and the sexes."""
    return [
        LookLine(
            label=_label(outcome),
            trade_name=outcome.trade_name if len(outcome.looks) > 1 and outcome.trade_name != outcome.label else "",
            ovals=ovals(outcome.probability),
            frequency=eggs_of(outcome.probability),
            percent=percent(outcome.probability),
            hidden=tuple(_hidden_words(outcome, catalogue)) or ("Nothing known stays hidden.",),
            sexes="" if outcome.sex else "Half of them males, half females, as in any clutch.",
            is_lost=outcome.lost,
        )
        for outcome in listed(found)
    ]


def listed(found: PairOdds) -> list[Outcome]:
    """Looks worth listing: the likeliest, whatever its chance, and all from `LEAST_LISTED`."""
    return [one for number, one in enumerate(found.odds.outcomes) if number == 0 or one.probability >= LEAST_LISTED]


def _label(outcome: Outcome) -> str:
    label = outcome.label[:1].upper() + outcome.label[1:]
    return f"{label}, {outcome.sex.value}" if outcome.sex else label


def _hidden_words(outcome: Outcome, catalogue: Catalogue) -> list[str]:
    words = []
    for hidden in outcome.hidden:
        if hidden.chance < WORTH_TELLING:
            continue
        if _is_seen(outcome, hidden.allele, catalogue):
            words.append(f"{hidden.gene}: two copies in {about(hidden.chance)}, one in the rest.")
        elif hidden.chance >= SURE:
            words.append(f"{hidden.gene}: every one carries it, 100 % het.".replace(" %", "\u00a0%"))
        else:
            words.append(f"{hidden.gene}: {about(hidden.chance)} carries it, {het_percent(hidden.chance)} het.")
    return words


def _is_seen(outcome: Outcome, allele: str, catalogue: Catalogue) -> bool:
    """Whether the look tells that the allele is there, so that only the number of copies is hidden."""
    locus = catalogue.locus_of(allele).key
    return any(key.partition(":")[0] == locus and key.partition(":")[2] for key in outcome.keys)


def hidden_rows(found: PairOdds, catalogue: Catalogue) -> list[BeliefRow]:
    """Genes that stay hidden, over all listed young in which they can."""
    sums: dict[tuple[str, bool], list[float]] = {}
    names: dict[str, str] = {}
    rests: dict[str, Basis] = {}
    for outcome in listed(found):
        for hidden in outcome.hidden:
            is_seen = _is_seen(outcome, hidden.allele, catalogue)
            total = sums.setdefault((hidden.allele, is_seen), [0.0, 0.0, 0.0])
            total[0] += outcome.probability
            total[1] += outcome.probability * (1.0 if is_seen else hidden.chance)
            total[2] += outcome.probability * hidden.two_copies
            names[hidden.allele] = hidden.gene
            rests[hidden.allele] = hidden.rests_on
    rows = []
    for (allele, is_seen), (weight, some, two) in sums.items():
        if weight > 0 and some >= WORTH_TELLING * weight:
            copies = (1 - some / weight, (some - two) / weight, two / weight)
            rows.append(_hidden_row(names[allele], copies, rests[allele], is_seen=is_seen))
    return sorted(rows, key=lambda row: row.copies[0])


def _hidden_row(gene: str, copies: tuple[float, float, float], rests: Basis, *, is_seen: bool) -> BeliefRow:
    word = {Basis.CLAIMED: "by descent, from a claim", Basis.ASSUMED: "by descent, from what is assumed"}.get(rests, "")
    exact = (max(0.0, copies[0]), max(0.0, copies[1]), max(0.0, copies[2]))
    if is_seen:
        return BeliefRow(
            gene, exact, about(exact[2]), "has two copies", basis=Basis.BY_DESCENT, word=word,
            why="Among the young that show it. One copy and two look alike or nearly so.",
        )  # fmt: skip
    some = exact[1] + exact[2]
    return BeliefRow(
        gene,
        exact,
        "every one" if some >= SURE else about(some),
        "carries it",
        label=f"{het_percent(some)} het",
        basis=Basis.BY_DESCENT,
        word=word,
        why="Among the young that do not show it.",
    )


def _rests(basis: Basis) -> str:
    return {
        Basis.CLAIMED: "claimed",
        Basis.ASSUMED: "assumed",
        Basis.BY_DESCENT: "known by descent",
        Basis.BY_OFFSPRING: "known by offspring",
    }.get(basis, str(basis))


def two_table(found: PairOdds, catalogue: Catalogue, links: Sequence[str], weights: Sequence[str]) -> Table:
    """The two parents: what each shows and may carry, and the last weight."""
    sides = ((found.sire, "sire"), (found.dam, "dam"))
    return Table(
        [Column("Parent"), Column("Shows", is_full=True), Column("May carry", is_full=True), Column("Last weight")],
        [
            [
                link,
                in_a_sentence(seen(side.belief, catalogue), "nothing noted"),
                in_a_sentence(carried(side.belief, catalogue), "nothing more known"),
                weight or "not weighed",
            ]
            for (side, _), link, weight in zip(sides, links, weights, strict=True)
        ],
    )


def title_sentences(found: PairOdds, catalogue: Catalogue) -> tuple[str, str]:
    """The answer in a sentence, and the uncertain part of it (may be empty)."""
    want = found.odds.want
    if want is not None:
        return _wish_sentence(want, found.odds.eggs), _sentence(want.either_or)
    likeliest = found.odds.outcomes[0] if found.odds.outcomes else None
    if likeliest is None:
        return "No young of this pair lives.", ""
    others = len(listed(found)) > 1 or found.odds.unlisted >= LEAST_LISTED
    tail = f" {_looks_words(found)} can come." if others else " No other look is to be expected."
    plain = f"Likeliest is {likeliest.label}, {eggs_of(likeliest.probability)}.{tail}"
    doubts = [
        f"{side.label or word} may carry {part.words}"
        for side, word in ((found.sire, "The sire"), (found.dam, "The dam"))
        for part in carried(side.belief, catalogue)
        if part.chance < SURE
    ]
    return plain, (f"{'; '.join(doubts[:2])}." if doubts else "")


def _looks_words(found: PairOdds) -> str:
    """How many looks can come, those rarer than one in a thousand not counted."""
    seen = len(listed(found))
    is_all = len(found.odds.outcomes) > seen or found.odds.unlisted <= 1e-9
    return f"{seen if is_all else found.odds.n_looks:,} looks"


def _wish_sentence(want: WantOdds, eggs: EggCount) -> str:
    if want.per_egg <= 0:
        return f"This pair cannot give {want.text}."
    wish = f"{want.text[:1].upper()}{want.text[1:]}"
    chance = "none" if want.at_least_one <= 0 else about(want.at_least_one)
    chance = {"every one": "for sure"}.get(chance, chance)
    return f"{wish}: {eggs_of(want.per_egg)}. At least one in this clutch of {_clutch_words(eggs)}: {chance}."


def _sentence(text: str) -> str:
    return text if not text or text.endswith(".") else f"{text}."


def _clutch_words(eggs: EggCount) -> str:
    noun = eggs.unit
    if len(eggs.sizes) == 1:
        count = eggs.sizes[0][0]
        return f"{count:,} {noun if count != 1 else noun.rstrip('s')}"
    return f"about {eggs.mean:.0f} {noun}"


def clutch_rows(found: PairOdds) -> list[LedgerRow]:
    """Numbers of this clutch: eggs, young, the wish, eggs needed."""
    eggs, want = found.odds.eggs, found.odds.want
    sizes = [size for size, _ in eggs.sizes]
    is_asked = len(sizes) == 1
    rows = [
        LedgerRow(
            "Eggs" if eggs.unit == "eggs" else "Hatchlings",
            number(eggs.mean, 0 if is_asked else 1),
            "" if is_asked else span(min(sizes), max(sizes)),
            None if is_asked else Basis.ASSUMED,
            f"{eggs.ground[:1].upper()}{eggs.ground[1:]}.",
        )
    ]
    if not is_asked:
        rows.append(LedgerRow("Young", number(eggs.expected_hatchlings, 1), "", Basis.ASSUMED, "Eggs that hatch."))
    if want is None:
        return rows
    rows.append(LedgerRow("In one egg", about(want.per_egg), percent(want.per_egg), Basis.BY_DESCENT))
    rows.append(LedgerRow("At least one", about(want.at_least_one), percent(want.at_least_one), Basis.BY_DESCENT))
    two = want.at_least.get("2")
    if two is not None:
        rows.append(LedgerRow("At least two", about(two), percent(two), Basis.BY_DESCENT))
    if want.one_of_each_sex > 0:
        rows.append(
            LedgerRow("One of each sex", about(want.one_of_each_sex), percent(want.one_of_each_sex), Basis.BY_DESCENT)
        )
    return rows + _needed_rows(want)


def _needed_rows(want: WantOdds) -> list[LedgerRow]:
    """Eggs needed for each certainty, up to the first that no number of eggs can reach."""
    rows: list[LedgerRow] = []
    for level in ("50", "90", "95", "99"):
        needed = want.eggs_for.get(level)
        name = f"Eggs for {quantity(int(level), '%')}"
        if needed is None:
            limit = f"It can never pass {whole_percent(want.possible)}." if 0 < want.possible < 1 else ""
            return [*rows, LedgerRow(f"{name} or more", "none will do", ground=limit)]
        clutches = want.clutches_for.get(level)
        rows.append(LedgerRow(name, number(needed), f"{clutches:,} clutches" if clutches and clutches > 1 else ""))
    return rows


@dataclass(frozen=True, slots=True)
class ClutchFigure:
    """Chance of at least one wanted young by number of eggs."""

    message: str
    how: str
    figure: Figure
    numbers: Table


def clutch_figure(found: PairOdds, catalogue: Catalogue) -> ClutchFigure | None:
    """The figure, or None where nothing is wanted or it cannot come."""
    want = found.odds.want
    if want is None or found.wish is None or want.per_egg < _LEAST_DRAWN:
        return None
    grid = sorted({*_GRID, *(n for n, _ in found.odds.eggs.sizes if len(found.odds.eggs.sizes) == 1 and n <= 40)})
    now = [(float(n), _at_least_one(found, catalogue, n)) for n in grid]
    fact = want.turns_on[0] if len(want.turns_on) == 1 else None
    turned = [(float(n), _count(found.odds.eggs, n).at_least_one(fact.if_so)) for n in grid] if fact else []
    side = {"sire": "he", "dam": "she"}.get(fact.parent, "it") if fact else ""
    curves = [Curve(turned, "other", f"if {side} carries {fact.gene}")] if fact else []
    curves.append(Curve(now, "me", "as things stand"))
    message = _figure_message(want, fact, side)
    mean = min(found.odds.eggs.mean, 40.0)
    figure = Figure(
        x=Axis(40, [(0, "0"), (10, "10"), (20, "20"), (30, "30"), (40, "40 eggs")]),
        y=replace(
            axis_to(1, ""), end=1.0, ticks=[(k / 4, f"{25 * k}" + ("\u00a0%" if k == 4 else "")) for k in range(5)]
        ),
        said=f"{message} {_said(now)}",
        height=210,
        curves=curves,
        here=(mean, f"this clutch, {number(found.odds.eggs.mean, 0)} {found.odds.eggs.unit}"),
    )
    shown = [index for index, n in enumerate(grid) if n in {1, 3, 5, 8, 15, 22, 40} or n == round(mean)]
    heads = [Column("Eggs"), Column("As things stand", is_number=True)]
    heads += [Column(f"If {side} carries {fact.gene}", is_number=True)] if fact else []
    numbers = Table(
        heads,
        [[str(grid[i]), percent(now[i][1]), *([percent(turned[i][1])] if fact else [])] for i in shown],
        is_cards=False,
    )
    how = f"Chance of at least one {want.text} by number of eggs."
    rate = found.odds.eggs.hatch_rate
    how += f" {whole_percent(rate)} of eggs hatch." if rate < 1 else " Every fertile egg counts as hatching."
    return ClutchFigure(message, how, figure, numbers)


def _figure_message(want: WantOdds, fact: TurnsOn | None, side: str) -> str:
    if fact:
        return f"More eggs help only if {side} carries {fact.gene}."
    if want.possible < SURE:
        return f"No number of eggs brings it above {whole_percent(want.possible)}."
    return "Every egg adds to the chance, each less than the one before."


def _said(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{percent(chance)} with {n:.0f} eggs." for n, chance in points if n in {5, 10, 40})


def _count(eggs: EggCount, n: int) -> EggCount:
    """The clutch with exactly n eggs, hatching as it does."""
    return replace(eggs, sizes=((n, 1.0),))


def _at_least_one(found: PairOdds, catalogue: Catalogue, n: int) -> float:
    if n == 0:
        return 0.0
    again = found.with_eggs(_count(found.odds.eggs, n), catalogue)
    assert again.want is not None, "a wish was given"
    return again.want.at_least_one


def cautions_by_level(found: PairOdds) -> list[tuple[str, list[str]]]:
    """Cautions, gravest level first."""
    order = {"stop": 0, "think": 1, "note": 2}
    listed = sorted(found.odds.cautions, key=lambda caution: order.get(caution.level, 3))
    return [
        (level, list(dict.fromkeys(caution.message for caution in group)))
        for level, group in groupby(listed, key=lambda caution: caution.level)
    ]


def left_out(found: PairOdds) -> str:
    """How many looks are listed, what is left out, and whether it is exact."""
    answer, shown = found.odds, listed(found)
    words = f"{len(shown)} {'look is' if len(shown) == 1 else 'looks are'} listed"
    left = answer.unlisted + sum(one.probability for one in answer.outcomes[len(shown) :])
    rest = f", the rest together {eggs_of(left)}" if left > 1e-9 else ", none left out"
    lost = (
        f" {eggs_of(answer.lost)[:1].upper()}{eggs_of(answer.lost)[1:]} dies in the egg of its genes."
        if answer.lost > 1e-12
        else ""
    )
    exact = "; exact under what is taken for granted below." if answer.exact else "; rounded, see below."
    sexes = " Sons and daughters differ and are listed apart." if answer.by_sex else ""
    return f"{words}{rest}{exact}{lost}{sexes}"


def sex_of(side: str) -> Sex:
    """Sex of a side of the pair."""
    return Sex.MALE if side == "sire" else Sex.FEMALE
