"""What an animal should be bred to: cautions and nevers first, then ideas by look, ties grouped.

Ties are broken by what is at hand, unrelated and proven first, then by how common a gene is, then by how far it can be
trusted.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING

from holdback.decisions.ideas import words
from holdback.decisions.ideas.carried import Animal
from holdback.decisions.ideas.holders import Mates, holders_of, mates_for, nearness
from holdback.decisions.ideas.outcome import aim_of, clutch_chances, consequences, mate_with
from holdback.decisions.ideas.result import Brought, Idea, Ideas, Only, PossibleMate, RuledOut
from holdback.decisions.ideas.rules import barriers, codes, is_stopped, needs_a_word, own_cautions, ruled_out
from holdback.decisions.ideas.scoring import Scored, combos_that_live, scored
from holdback.errors import DecisionError, Fault
from holdback.heredity.crosses import EggCount
from holdback.heredity.genotype import GenotypeBelief
from holdback.species.model import Mark

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

MOST = 50
"""More ideas are not given at once."""

_BASIS = (
    "Which looks go well together, and how much each counts, is assumed; change it in the species file.",
    "Chances of a clutch are those of one that is laid, from a mate with one copy of a gene that shows, or that shows "
    "a recessive; an animal named beside an idea is counted as it is.",
)
_MARKS = (Mark.OWN, Mark.PUBLISHED, Mark.COMMON, Mark.MEMORY)


def ideas(
    have: GenotypeBelief,
    catalogue: Catalogue,
    *,
    hand: Sequence[PossibleMate] = (),
    offered: Sequence[PossibleMate] = (),
    only: Only = Only.ANYTHING,
    most: int = 12,
    allow: Collection[str] = frozenset(),
    eggs: EggCount | None = None,
) -> Ideas:
    """What to breed an animal to, and what never.

    Parameters
    ----------
    have : GenotypeBelief
        Sex of the animal, and what it may carry.
    catalogue : Catalogue
        Its species.
    hand, offered : sequence of PossibleMate
        Animals at hand, and on offer; those of its own sex are passed over.
    only : Only
        Whether only ideas count that somebody at hand, or on offer, has.
    most : int
        Most ideas, ties counting as one; 1 to 50.
    allow : collection of str
        Codes of cautions that the keeper has spoken for (`RuledOut.codes`).
    eggs : EggCount, optional
        Clutch counted on; the species' own distribution if left out.

    Returns
    -------
    Ideas
        Cautions and nevers always; no ideas where the animal itself should not be bred from.

    Raises
    ------
    DecisionError
        DEC-110 where the number of ideas cannot be, DEC-113 where a caution is none; all faults at once.

    Examples
    --------
    >>> from holdback.heredity.shorthand import read
    >>> from holdback.species import load
    >>> found = ideas(read("Hidden Gene Woma", load()).belief(load()), load(), most=2)
    >>> [idea.label for idea in found.ideas]
    ['Lesser', 'Pastel']
    """
    _check(most, allow, catalogue)
    animal = Animal(have, catalogue)
    keys = tuple(dict.fromkeys(catalogue.stands_for(each) for each in catalogue.alleles))
    never = {key: found for key in keys if (found := ruled_out(key, animal, allow))}
    at_hand, on_offer = mates_for(animal, hand, allow), mates_for(animal, offered, allow)
    stopped = is_stopped(animal, allow)
    groups = () if stopped else _groups([key for key in keys if key not in never], animal, never, allow, at_hand)
    count = eggs or EggCount.from_species(catalogue)
    found_ideas: list[Idea] = []
    for group in groups:
        if len(found_ideas) == most:
            break
        idea = _idea(group, animal, at_hand, on_offer, only, count)
        if idea is not None:
            found_ideas.append(idea)
    return Ideas(
        carried=tuple(animal.carried.values()),
        cautions=own_cautions(animal),
        never=tuple(sorted(never.values(), key=lambda each: bool(each.codes))),
        ideas=tuple(found_ideas),
        left_out=(*at_hand.left_out, *on_offer.left_out),
        notes=_notes(animal, stopped, found_ideas, only, count),
    )


def _check(most: int, allow: Collection[str], catalogue: Catalogue) -> None:
    faults = []
    if not 1 <= most <= MOST:
        hint = f"Ask for 1 to {MOST}."
        faults.append(Fault("DEC-110", f"{most} ideas cannot be given.", hint, field="most", value=str(most)))
    known = codes(catalogue)
    faults += [
        Fault("DEC-113", f"{code!r} is no caution.", f"Cautions: {', '.join(known)}.", field="allow", value=code)
        for code in sorted(set(allow) - set(known))
    ]
    if faults:
        raise DecisionError(faults)


def _groups(
    keys: Sequence[str], animal: Animal, never: Mapping[str, RuledOut], allow: Collection[str], at_hand: Mates
) -> tuple[tuple[Scored, ...], ...]:
    """Genes worth an idea, those equal in all reasons together, best first."""
    combos = combos_that_live(animal, allow)
    found = [scored(key, animal, out=never, is_cautioned=needs_a_word(key, animal), combos=combos) for key in keys]
    groups: dict[object, list[Scored]] = {}
    for each in found:
        if each.is_same_recessive or each.score > 0.0:
            groups.setdefault(_kind(each), []).append(each)
    near = {each.allele: nearness(each.allele, at_hand, animal) for group in groups.values() for each in group}
    for group in groups.values():
        group.sort(key=lambda each: (near[each.allele], _commonness(each.allele, animal)))
    ordered = sorted(
        groups.values(),
        key=lambda group: (not group[0].is_same_recessive, -group[0].score, near[group[0].allele]),
    )
    return tuple(tuple(group) for group in ordered)


def _kind(found: Scored) -> object:
    """What makes two genes equal: the reasons alone where no trade name or caution tells them apart."""
    if found.combos or found.is_cautioned or found.is_same_recessive:
        return found.allele
    return found.score, found.hides, tuple(sorted((match.has, match.brings) for match in found.tags))


def _commonness(allele: str, animal: Animal) -> tuple[float, int]:
    entry = animal.catalogue.alleles[allele]
    return -entry.frequency, _MARKS.index(entry.mark)


def _idea(
    group: tuple[Scored, ...], animal: Animal, at_hand: Mates, on_offer: Mates, only: Only, eggs: EggCount
) -> Idea | None:
    """The idea of a group; None where nobody of those asked for has any of it."""
    genes = [_brought(each, animal, at_hand, on_offer, eggs) for each in group]
    if only is not Only.ANYTHING:
        genes = [each for each in genes if (each.at_hand if only is Only.AT_HAND else each.offered)]
        if not genes:
            return None
    genes.sort(key=lambda each: (not each.at_hand, not each.offered))  # stable: unrelated, proven, common stay first
    first = next(each for each in group if each.allele == genes[0].allele)
    aim = aim_of(first, animal, called="the new gene" if len(genes) > 1 else "")
    per_hatchling, first_clutch = clutch_chances(aim, animal, mate_with(first.allele, animal), eggs)
    return Idea(
        genes=tuple(genes),
        label=_label(genes, first),
        score=first.score,
        is_same_recessive=first.is_same_recessive,
        why=_why(first, animal),
        combos=first.combos,
        aim=aim.text,
        is_seen=aim.is_seen,
        per_hatchling=per_hatchling,
        first_clutch=first_clutch,
        generations=aim.generations,
        consequences=consequences(first, aim, animal, eggs),
        cautions=tuple(each.reason for each in barriers(first.allele, animal)),
    )


def _brought(found: Scored, animal: Animal, at_hand: Mates, on_offer: Mates, eggs: EggCount) -> Brought:
    aim = aim_of(found, animal)
    return Brought(
        allele=found.allele,
        name=animal.catalogue.alleles[found.allele].name,
        notes=words.of_gene(found.allele, animal),
        at_hand=holders_of(found.allele, at_hand, aim, animal, eggs),
        offered=holders_of(found.allele, on_offer, aim, animal, eggs),
    )


def _label(genes: Sequence[Brought], first: Scored) -> str:
    if len(genes) == 1:
        return genes[0].name
    if first.hides:
        return f"Any gene that makes {first.hides} with it"
    heaviest = max(first.tags, key=lambda match: match.weight)
    hard = ", though hard to see" if heaviest.is_hard else ""
    return f"Any gene that brings {words.brings(heaviest.brings)}{hard}"


def _why(found: Scored, animal: Animal) -> tuple[str, ...]:
    said = [*words.of_tags(found.tags)]
    if found.is_same_recessive:
        name = animal.catalogue.alleles[found.allele].name
        shown = found.allele in animal.shown
        said.insert(0, f"It {'shows' if shown else 'carries'} {name} already: a mate with it brings visuals at once.")
    return tuple(said)


def _notes(animal: Animal, stopped: bool, found: Sequence[Idea], only: Only, eggs: EggCount) -> tuple[str, ...]:
    said = []
    if stopped:
        said.append("No ideas are given: the animal itself should not be bred from, see the caution.")
    elif not animal.counted:
        said.append("It shows and carries no named gene, so nothing builds on its look.")
    elif not animal.catalogue.builds:
        said.append("Which looks go well together is not known for this species; only trade names count.")
    if not found and not stopped and animal.counted and only is not Only.ANYTHING:
        said.append(f"Nobody {only} has a gene that any idea brings.")
    if animal.hides:
        said.append(f"{animal.hides} hides every other gene: what else it carries is known from its parents only.")
    if any(one.kinship is None for idea in found for gene in idea.genes for one in (*gene.at_hand, *gene.offered)):
        said.append("Whether a mate is kin is not known where nothing is said of it.")
    doubtful = [each for each in animal.counted.values() if each.chance < 0.995]
    said += [f"It may carry {each.name} ({each.chance:.0%}); chances are mixed over that." for each in doubtful]
    clutch = (f"Clutch: {eggs.ground}.",) if eggs.ground else ()
    return (*said, *_BASIS, *clutch)
