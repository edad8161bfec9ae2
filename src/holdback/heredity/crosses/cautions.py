"""The words that belong to a cross: welfare, lethal pairings, what is taken on trust, what cannot be seen."""

from __future__ import annotations

import math
from collections.abc import Sequence

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.heredity.crosses.result import Caution
from holdback.heredity.crosses.young import Cross
from holdback.heredity.frequency import in_words
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief
from holdback.species.model import WILD, Ease, Flag, Inheritance, Mark, PairingCaution

_GRAVITY = {"stop": 0, "think": 1, "note": 2}
_FLAG_LEVEL = {
    "lethal": "think",
    "neurological": "think",
    "kinking": "think",
    "female fertility": "think",
    "eyes": "note",
    "hatchling vigour": "note",
    "husbandry": "note",
}
_WORTH_TELLING = 0.01
"""Chance that parents carry a thing below which it is not spoken of: records may err, so nothing is ever quite out."""

_WORTH_TELLING_OF_YOUNG = 0.001
"""The same for a look, or a loss, among the young."""

_SURE = 0.995
"""Chance from which a thing counts as sure."""

_PARENTS = ("sire", "dam")


def cautions(crosses: Sequence[tuple[float, Cross]], lost: float, lost_after: float) -> tuple[Caution, ...]:
    """Cautions of a cross, gravest first.

    Parameters
    ----------
    crosses : sequence of (float, Cross)
        Possible pairs with their probabilities.
    lost, lost_after : float
        Chance that an egg dies of its genes in the egg, and after hatching.

    Returns
    -------
    tuple of Caution
        Each said once.
    """
    every = [cross for _, cross in crosses]
    rules = [
        (rule, chance)
        for rule in every[0].catalogue.pairing_cautions
        if (chance := _chance(rule, crosses)) >= _WORTH_TELLING
    ]
    warned = [{*rule.sire, *rule.dam} for rule, _ in rules]
    said = [Caution(rule.code, rule.level, _with_doubt(rule, chance)) for rule, chance in rules]
    for cross in every:
        said += [*_togethers(cross, warned), *_flags(cross), *_lines(cross), *_hiders(cross)]
    said += _hard_to_see(every)
    for cross in every:
        said += [*_sex_linked(cross), *_together_inherited(cross), *_trust(cross)]
    found = [*_losses(lost, lost_after), *dict.fromkeys(said)]
    return tuple(sorted(found, key=lambda caution: _GRAVITY[caution.level]))


def _losses(lost: float, lost_after: float) -> list[Caution]:
    """How many young the genes themselves cost."""
    said = []
    if lost >= _WORTH_TELLING_OF_YOUNG:
        who = _sentence(in_words(lost))
        message = f"{who} will die before hatching of what they inherit. Count them when you judge ratios."
        said.append(Caution("dies-in-egg", "think", message))
    if lost_after >= _WORTH_TELLING_OF_YOUNG:
        message = f"{_sentence(in_words(lost_after))} will hatch and then die of what they inherit."
        said.append(Caution("dies-after-hatching", "stop", message))
    return said


def _chance(rule: PairingCaution, crosses: Sequence[tuple[float, Cross]]) -> float:
    """Chance that a pairing that the species file warns of is this one, either way round."""
    return math.fsum(weight * _applies(rule, cross) for weight, cross in crosses)


def _applies(rule: PairingCaution, cross: Cross) -> float:
    """Chance in one scenario, over what both parents may carry together."""
    sides = [frozenset(cross.book.identity(allele) for allele in named) for named in (rule.sire, rule.dam)]
    loci = [frozenset(cross.catalogue.alleles[allele].locus for allele in side) for side in sides]
    if any(needed and not needed & cross.alleles.keys() for needed in loci):
        return 0.0
    # whether the sire has an allele of the first and of the second side, and the dam
    met = {(not sides[0], not sides[1], not sides[0], not sides[1]): 1.0}
    for locus in loci[0] | loci[1]:
        grown: dict[tuple[bool, bool, bool, bool], float] = {}
        for (mine, hers), odds in cross.both_at(locus).items():
            here = [any(cross.book.identity(each) in side for each in own) for own in (mine, hers) for side in sides]
            for known, chance in met.items():
                both = (known[0] or here[0], known[1] or here[1], known[2] or here[2], known[3] or here[3])
                grown[both] = grown.get(both, 0.0) + chance * odds
        met = grown
    return math.fsum(
        chance
        for (first, second, dam_first, dam_second), chance in met.items()
        if (first and dam_second) or (second and dam_first and not rule.dam_only)
    )


def _with_doubt(rule: PairingCaution, chance: float) -> str:
    """Message of a pairing, with the chance that it applies and its trust."""
    doubt = "" if chance >= _SURE else f" Applies with a chance of {in_words(chance, of='')}: not both are sure."
    return rule.message + doubt + _trust_in_words(rule.mark)


def _togethers(cross: Cross, warned: Sequence[set[str]]) -> list[Caution]:
    """Combinations across genes that harm without killing all, or kill, unless a pairing caution told of them."""
    said = []
    for rule in cross.catalogue.together:
        apart = [cross.catalogue.alleles[allele].locus for allele in rule.alleles]
        can = all(
            cross.book.identity(allele) in _possible(cross, locus)
            for allele, locus in zip(rule.alleles, apart, strict=True)
        )
        if can and not any(set(rule.alleles) <= told for told in warned):
            names = " with ".join(cross.catalogue.alleles[allele].name for allele in rule.alleles)
            level = "stop" if rule.lethal >= 0.5 else "think"
            said.append(Caution("harm-together", level, f"{names}: {rule.text}{_trust_in_words(rule.mark)}"))
    return said


def _possible(cross: Cross, locus: str) -> set[str]:
    """Alleles, by what they count as, that a young may have at a locus."""
    if locus not in cross.alleles:
        return set()
    chances: dict[str, float] = {}
    for both, odds in cross.both_at(locus).items():
        for same in {cross.book.identity(allele) for alleles in both for allele in alleles}:
            chances[same] = chances.get(same, 0.0) + odds
    return {same for same, chance in chances.items() if chance >= _WORTH_TELLING}


def _flags(cross: Cross) -> list[Caution]:
    """Welfare statements about alleles that young of this pair may carry."""
    said: list[Caution] = []
    for locus in cross.order:
        for allele in sorted(cross.alleles[locus] - {WILD}):
            entry = cross.catalogue.alleles[allele]
            if not entry.flags:
                continue
            same = cross.book.identity(allele)
            found = cross.both_at(locus).items()
            some = math.fsum(odds for both, odds in found if any(cross.book.copies(same, each) for each in both))
            two = math.fsum(odds for both, odds in found if all(cross.book.copies(same, each) for each in both))
            said.extend(
                _flag(entry.name, flag) for flag in entry.flags if (some if flag.copies == 1 else two) >= _WORTH_TELLING
            )
    return said


def _flag(name: str, flag: Flag) -> Caution:
    """One welfare statement."""
    who = f"{name}, two copies" if flag.copies == 2 else name
    code = f"welfare-{flag.kind.replace(' ', '-')}"
    return Caution(code, _FLAG_LEVEL.get(flag.kind, "note"), f"{who}: {flag.text}{_trust_in_words(flag.mark)}")


def _lines(cross: Cross) -> list[Caution]:
    """Recessives at different loci that the species file describes alike (lines of one look): never merged."""
    alike: dict[str, dict[str, str]] = {}
    for locus in cross.order:
        for allele in sorted(cross.alleles[locus] - {WILD}):
            entry = cross.catalogue.alleles[allele]
            if entry.inheritance is Inheritance.RECESSIVE and entry.two_copies:
                alike.setdefault(entry.two_copies, {})[locus] = entry.name
    said: list[Caution] = []
    for named in alike.values():
        if len(named) > 1:
            message = (
                f"{' and '.join(named.values())} look alike and are treated as different genes: lines are never "
                "merged. Young with one copy of each are worked out as normal-looking carriers of both. If you know "
                "that two lines are one gene, say so in your own genes."
            )
            said.append(Caution("lines-apart", "think", message))
    return said


def _hiders(cross: Cross) -> list[Caution]:
    """Looks that hide other genes."""
    said = []
    for part in cross.parts:
        for found in part.classes.values():
            for look in found.seen.looks:
                if look.hides and len(cross.order) > 1 and max(found.hatching) >= _WORTH_TELLING_OF_YOUNG:
                    message = (
                        f"{look.label} hides other genes: what else such a young carries is known from its parents "
                        "only."
                    )
                    said.append(Caution("hidden-by-look", "note", message))
    return said


def _hard_to_see(crosses: Sequence[Cross]) -> list[Caution]:
    """Looks among the young that are often missed."""
    names: dict[str, None] = {}
    for part in (part for cross in crosses for part in cross.parts):
        for found in part.classes.values():
            if max(found.hatching) >= _WORTH_TELLING_OF_YOUNG:
                names.update((look.label, None) for look in found.seen.looks if look.ease is not Ease.PLAIN)
    if not names:
        return []
    message = f"Hard to tell by eye: {', '.join(names)}. Count a young as without it only with care."
    return [Caution("hard-to-see", "note", message)]


def _sex_linked(cross: Cross) -> list[Caution]:
    """Sex-linked genes: the recombination used, and a phase that is not known."""
    said = []
    hetero = 0 if cross.catalogue.is_heterogametic(cross.sire.sex) else 1
    giver = (cross.sire, cross.dam)[hetero]
    for locus in cross.order:
        linkage = cross.catalogue.loci[locus].sex_linkage
        if linkage is None:
            continue
        name, r = _named(cross, locus), linkage.r
        if giver.at(locus).get(WILD_PAIR, 0.0) >= 1.0:
            own, other = ("sons", "daughters") if hetero == 0 else ("daughters", "sons")
            message = (
                f"{name} is linked to sex. From this {_PARENTS[1 - hetero]} it goes to sons and daughters alike; "
                f"{own} that get it here will hand it mostly to {other}."
            )
            said.append(Caution("sex-linked", "note", message))
            continue
        message = (
            f"{name} is linked to sex: which young get it turns on their sex. Recombination {r.value:.0%} "
            f"({r.low:.0%} to {r.high:.0%}), {r.mark}; change it in your own genes when you have counts."
        )
        said.append(Caution("sex-linked", "note", message))
        one_copy = sum(odds for alleles, odds in giver.at(locus).items() if alleles[0] != alleles[1])
        if one_copy > 0.0 and 0.0 < giver.phase.get(locus, 0.5) < 1.0:
            whose = "his" if giver.sex is Sex.MALE else "her"
            message = (
                f"Whether the {_PARENTS[hetero]} hands {name} mostly to sons or mostly to daughters is not known; "
                f"both are counted. It follows from which of {whose} parents the gene came."
            )
            said.append(Caution("sex-link-phase", "think", message))
    return said


def _together_inherited(cross: Cross) -> list[Caution]:
    """Independence assumed, or linkage used."""
    said = []
    free = [group for group in cross.groups if not group.sex_linked]
    if len(free) > 1:
        message = (
            "Genes on ordinary chromosomes are taken as inherited independently; no map of this species is published "
            "that could say otherwise for a given pair."
        )
        said.append(Caution("independent", "note", message))
    for group in cross.groups:
        if len(group.loci) > 1:
            names = " and ".join(cross.catalogue.loci[locus].name for locus in group.loci)
            message = f"{names} are linked. Where it is not known which lie on one chromosome, both ways are counted."
            said.append(Caution("linked", "note", message))
    return said


def _trust(cross: Cross) -> list[Caution]:
    """Sellers' words used as they stand, and genes whose class is from memory."""
    said = []
    for index, parent in enumerate((cross.sire, cross.dam)):
        claimed = [locus for locus in cross.order if _claimed(parent, locus)]
        if claimed:
            names = ", ".join(_named(cross, locus, parent) for locus in claimed)
            message = f"What is said of the {_PARENTS[index]} is used as it stands, unproven here: {names}."
            said.append(Caution("claims", "note", message))
    unsure = {
        cross.catalogue.alleles[allele].name: None
        for locus in cross.order
        for allele in sorted(cross.alleles[locus] - {WILD})
        if cross.catalogue.alleles[allele].mark is Mark.MEMORY
    }
    if unsure:
        message = f"How these are inherited is from memory, unchecked: {', '.join(unsure)}."
        said.append(Caution("from-memory", "note", message))
    return said


def _claimed(parent: GenotypeBelief, locus: str) -> bool:
    """Whether a parent's genes at a locus rest on a claim."""
    carried = sum(odds for alleles, odds in parent.at(locus).items() if alleles != WILD_PAIR)
    return carried >= _WORTH_TELLING and parent.basis.get(locus, Basis.CLAIMED) in (Basis.CLAIMED, Basis.ASSUMED)


def _named(cross: Cross, locus: str, *parents: GenotypeBelief) -> str:
    """Names of the alleles that the parents, both unless one is given, may carry at a locus."""
    carried = {
        allele
        for parent in parents or (cross.sire, cross.dam)
        for alleles, odds in parent.at(locus).items()
        if odds > 0.0
        for allele in alleles
        if allele != WILD
    }
    return " or ".join(cross.catalogue.alleles[allele].name for allele in sorted(carried))


def _trust_in_words(mark: Mark) -> str:
    """Trust in a statement, as a short ending."""
    return "" if mark is Mark.PUBLISHED else f" ({mark[0].upper()}{mark[1:]}.)"


def _sentence(text: str) -> str:
    """Text with a capital."""
    return text[:1].upper() + text[1:]
