"""What the almanac says of a gene: its look, what pairings give, how sure it is, where it is used."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from holdback.answers.gametes import child_pairs
from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.heredity.genotype import GenotypeBelief
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Allele, Ease, Inheritance, Mark, Pair, pair
from holdback.web.pages.components import BeliefRow, Column, LedgerRow, Table
from holdback.web.pages.wording import about, het_percent, listed, number, quantity, span

_CLASS = {
    Inheritance.RECESSIVE: "Shows only with two copies.",
    Inheritance.INCOMPLETE_DOMINANT: "One copy shows, and two look different.",
    Inheritance.DOMINANT: "One copy shows, and two are not told from one by eye.",
}
_STATEMENT = {
    Inheritance.RECESSIVE: "Two copies are needed to show",
    Inheritance.INCOMPLETE_DOMINANT: "One copy shows, two look different",
    Inheritance.DOMINANT: "One copy shows, two look the same",
}
_EASE = {Ease.SUBTLE: "subtle, often argued over", Ease.HARD: "hard to tell by eye"}


def lede(allele: Allele, catalogue: Catalogue) -> tuple[str, str]:
    """The gene in a sentence or two, and what is in doubt about it (may be empty)."""
    mates = [catalogue.alleles[key] for key in catalogue.loci[allele.locus].alleles if key != allele.key]
    text = _CLASS[allele.inheritance]
    if mates:
        names = listed([mate.name for mate in mates[:4]] + (["others"] if len(mates) > 4 else []))
        text += f" Shares its place with {names}: an animal carries two at most, of one or of several."
    if catalogue.loci[allele.locus].sex_linkage:
        text += " It is linked to sex: sons and daughters get it unlike."
    if allele.same_as:
        text += f" Held to be the same as {catalogue.alleles[allele.same_as].name}."
    doubt = "Class and place are from memory: confirm them on your own clutches." if allele.mark is Mark.MEMORY else ""
    return text, doubt


def look_rows(allele: Allele, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Look by copies, then beside each other allele of the place."""
    one_name, two_name = (
        _look(allele, (WILD, allele.key), catalogue),
        _look(allele, (allele.key, allele.key), catalogue),
    )
    rows = [
        ("no copy", "Ordinary."),
        ("one copy", _described(allele.one_copy, one_name, allele.ease_one, own=allele.name)),
        ("two copies", _described(allele.two_copies, two_name, allele.ease_two, own=allele.name)),
    ]
    for other in catalogue.loci[allele.locus].alleles:
        if other != allele.key:
            both = catalogue.look(allele.locus, pair(allele.key, other))
            name = catalogue.alleles[other].name
            words = ": ".join(part for part in (both.label, both.text) if part) or "Looks ordinary"
            rows.append(
                (
                    f"one {allele.name}, one {name}",
                    f"{words[:1].upper()}{words[1:].removesuffix('.')}. {_mark(both.mark)}",
                )
            )
    return rows


def _look(allele: Allele, alleles: Pair, catalogue: Catalogue) -> str:
    return catalogue.look(allele.locus, pair(*alleles)).label


def _described(text: str, name: str, ease: Ease, *, own: str) -> str:
    shows = bool(name)
    words = (
        text[:1].upper() + text[1:]
        if text
        else ("Shows; the look is not described here" if shows else "Looks ordinary")
    )
    if name and name != own and name.casefold() not in text.casefold():
        words = f"{name}: {text or 'not described here'}"
    tail = f" Told by eye: {_EASE[ease]}." if shows and ease in _EASE else ""
    return f"{words.removesuffix('.')}.{tail}"


def _mark(mark: Mark) -> str:
    return {Mark.PUBLISHED: "Published.", Mark.COMMON: "", Mark.MEMORY: "From memory.", Mark.OWN: "Your own."}[mark]


@dataclass(frozen=True, slots=True)
class _Cross:
    title: str
    sire: Pair
    dam: Pair


def pairing_rows(allele: Allele, catalogue: Catalogue) -> list[BeliefRow]:
    """Young of the four plain pairings, exact, for one egg."""
    key, name = allele.key, allele.name
    one, two, none = pair(WILD, key), (key, key), (WILD, WILD)
    is_recessive = allele.inheritance is Inheritance.RECESSIVE
    single = "carrier" if is_recessive else "one copy"
    double = name if is_recessive else "two copies"
    crosses = [
        _Cross(f"{single} with {single}", one, one),
        _Cross(f"{single} with {double}", one, two),
        _Cross(f"{single} with none", one, none),
        _Cross(f"{double} with none", two, none),
    ]
    if catalogue.lethality(allele.locus, two) >= 1:  # nobody has two copies to breed from
        crosses = [cross for cross in crosses if two not in (cross.sire, cross.dam)]
    return [_pairing_row(cross, allele, catalogue) for cross in crosses]


def _pairing_row(cross: _Cross, allele: Allele, catalogue: Catalogue) -> BeliefRow:
    locus = allele.locus
    young = child_pairs(
        GenotypeBelief(Sex.MALE, {locus: {cross.sire: 1.0}}),
        GenotypeBelief(Sex.FEMALE, {locus: {cross.dam: 1.0}}),
        locus,
        Sex.UNKNOWN,
        catalogue,
    )
    copies = [0.0, 0.0, 0.0]
    for alleles, chance in young.items():
        copies[alleles.count(allele.key)] += chance
    living = {alleles: chance * (1.0 - catalogue.lethality(locus, alleles)) for alleles, chance in young.items()}
    shows = sum(chance for alleles, chance in living.items() if catalogue.look(locus, alleles).label)
    lost = 1.0 - sum(living.values())
    words = _pairing_words(copies, shows, allele) if lost < 1e-9 else _lethal_words(shows, lost, allele)
    return BeliefRow(
        cross.title, (copies[0], copies[1], copies[2]), {0.0: "none"}.get(shows, about(shows)), "shows", why=words
    )


def _lethal_words(shows: float, lost: float, allele: Allele) -> str:
    """What is left of a pairing in which two copies die: some of the eggs, and the odds among the young that live."""
    where = "is lost" if allele.lethal_stage == "in egg" else "hatches and dies"
    dead = f"{about(lost).capitalize()} eggs {where}: two copies."
    return f"{dead} It shows in {about(shows / (1.0 - lost))} of the young that live."


def _pairing_words(copies: list[float], shows: float, allele: Allele) -> str:
    none, one, two = copies
    if allele.inheritance is Inheritance.RECESSIVE:
        hidden = one / (none + one) if none + one else 0.0
        if hidden == 0:
            return "Nothing stays hidden."
        word = het_percent(hidden)
        if hidden == 1:
            return f"{'All the rest carry' if shows else 'Every one carries'} it: {word} het."
        of_those = "Of the young that do not show, " if shows else ""
        carrier = f"{about(hidden)} carries it: the trade’s {word} het."
        return f"{of_those}{carrier}"
    if two and one:
        return f"Of the young that show, {about(two / (one + two))} has two copies."
    return "All that show have two copies." if two else "All that show have one copy."


_TRUST = (Mark.PUBLISHED, Mark.COMMON, Mark.MEMORY)
"""Marks from the strongest to the weakest; the keeper's own stands outside."""


def standing_table(allele: Allele, catalogue: Catalogue) -> Table:
    """How sure each statement is, and where it comes from."""
    locus = catalogue.loci[allele.locus]
    # The citations of an entry may be those of its flags; only a published class has one of its own.
    source = citations(allele.source, catalogue) if allele.mark is Mark.PUBLISHED else "none"
    lines = [[_STATEMENT[allele.inheritance], allele.mark.value, source]]
    if locus.gene:
        lines.append([f"The gene is {locus.gene}", locus.mark.value, citations(locus.source, catalogue)])
    others = [catalogue.alleles[key] for key in locus.alleles if key != allele.key]
    if others:
        # A published gene says nothing of which trade names are its alleles: the weakest of their marks counts.
        marks = [locus.mark, allele.mark, *(other.mark for other in others)]
        weakest = max((mark for mark in marks if mark in _TRUST), key=_TRUST.index, default=locus.mark)
        where = citations(locus.source, catalogue) if weakest is Mark.PUBLISHED else "none"
        lines.append([f"It shares its place with {listed([other.name for other in others])}", weakest.value, where])
    if locus.sex_linkage:
        r = locus.sex_linkage.r
        odds = f"{span(r.low * 100, r.high * 100)} of 100 sperm, {number(r.value * 100)} taken"
        said = f"Parts from the sex-determining region in {odds}"
        lines.append([said, r.mark.value, citations(r.source, catalogue)])
    lines += [[flag.text, flag.mark.value, citations(flag.source, catalogue)] for flag in allele.flags]
    return Table([Column("Statement"), Column("Standing", is_full=True), Column("Source", is_full=True)], lines)


def citations(text: str, catalogue: Catalogue) -> str:
    """Citations behind the keys, those that the species file lists written out."""
    keys = [key.strip() for key in text.split(",") if key.strip()]
    return "; ".join(catalogue.sources.get(key, key) for key in keys) or "none"


_ASSUMED = {
    "frequency": (
        "How common",
        "Share of the gene copies in captive animals of which nothing is known.",
        "No survey was found.",
    ),
    "missed": ("Missed by eye", "Of the animals that show it.", "No study was found."),
    "imagined": ("Seen where it is not", "Of the animals that do not show it.", "No study was found."),
}


def assumed_rows(allele: Allele, own: Collection[str] = ()) -> list[LedgerRow]:
    """Chances of a gene that nobody measured; ``own`` are the fields that the keeper set."""
    return [
        LedgerRow(
            title,
            quantity(100 * getattr(allele, name), "%", 4),
            basis=Basis.ASSUMED,
            ground=f"{of_what} {'Your own figure.' if name in own else ground}",
        )
        for name, (title, of_what, ground) in _ASSUMED.items()
    ]


def gene_cautions(allele: Allele, catalogue: Catalogue) -> list[tuple[str, str, str]]:
    """Level, title and text of every caution that names the gene."""
    found = []
    for flag in allele.flags:
        who = "any carrier" if flag.copies == 1 else "two copies"
        found.append(("think", f"{flag.kind[:1].upper()}{flag.kind[1:]}, {who}", f"{flag.text} ({flag.mark})"))
    if allele.lethal > 0:
        chance = "Two copies die" if allele.lethal >= 1 else f"Two copies: {about(allele.lethal)} dies"
        found.append(("stop", f"{chance} {allele.lethal_stage}", f"Do not pair two carriers. ({allele.mark})"))
    for both in catalogue.together:
        if allele.key in both.alleles:
            names = listed([catalogue.alleles[key].name for key in both.alleles])
            found.append(("stop" if both.lethal >= 1 else "think", f"{names} together", f"{both.text} ({both.mark})"))
    for caution in catalogue.pairing_cautions:
        if allele.key in {*caution.sire, *caution.dam}:
            found.append((caution.level, "In a pairing", f"{caution.message} ({caution.mark})"))
    order = {"stop": 0, "think": 1, "note": 2}
    return sorted(dict.fromkeys(found), key=lambda each: order.get(each[0], 3))


def combos_with(allele: Allele, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Trade names that state the gene, each with what it stands for."""
    found = []
    for combo in catalogue.combos.values():
        if any(allele.key in alleles for alleles in combo.genotypes.values()):
            parts = [_pair_words(locus, alleles, catalogue) for locus, alleles in combo.genotypes.items()]
            mark = "" if combo.mark is Mark.COMMON else f", {combo.mark}"
            found.append((combo.name, f"{listed(parts)}{mark}"))
    return found


def _pair_words(locus: str, alleles: Pair, catalogue: Catalogue) -> str:
    """A genotype in words: its look's name, else its alleles."""
    look = catalogue.look(locus, alleles)
    if look.label:
        return look.label
    return " and ".join(f"one {catalogue.alleles[key].name}" for key in alleles if key != WILD)
