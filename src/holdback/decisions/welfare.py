"""What has to be spoken for before a goal is planned or a pair is made: harm to the young, or to the dam.

Codes: ``welfare-<kind>:<allele>`` for a statement of the species file about carriers, ``dies:<allele>`` for young that
die of two copies, ``harm-together:<alleles>`` for combinations, and the code of a pairing of the species file. A keeper
speaks for one by its whole code, or for all of a kind by what stands before the colon.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.decisions.goal import Goal, Target
from holdback.decisions.stock import GenesAtHand, Stock
from holdback.decisions.wanting import targets_of
from holdback.heredity.crosses.result import Caution
from holdback.species.model import WILD, Flag, Mark, PairingCaution

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

WORTH_TELLING = 0.01
"""Chance below which a thing is not spoken of: records may err, so nothing is ever quite out."""

_STOP = "stop"
_THINK = "think"
_NOTE = "note"
_LIGHT = frozenset({"eyes", "hatchling vigour", "husbandry"})
"""Kinds of statements that are told and bar nothing."""


def welfare_of(wanted: Goal | Target, catalogue: Catalogue) -> tuple[Caution, ...]:
    """Welfare statements about an animal as wished; each wants a spoken decision (`Goal.accepted`).

    Parameters
    ----------
    wanted : Goal or Target
        What is wished; of a goal that leaves a choice everything that may be chosen counts.
    catalogue : Catalogue
        Species.

    Returns
    -------
    tuple of Caution
        Each said once.

    Raises
    ------
    DecisionError
        If the goal cannot be read; see `targets_of`.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> [caution.code for caution in welfare_of(Goal("Large", "Spider Enchi"), load())]
    ['welfare-neurological:spider']
    """
    targets = [wanted] if isinstance(wanted, Target) else targets_of(wanted, catalogue)
    return tuple(dict.fromkeys(caution for target in targets for caution in _of_target(target, catalogue)))


def _of_target(target: Target, catalogue: Catalogue) -> Iterator[Caution]:
    wanted = [gene for gene in target.genes if gene.copies]
    for gene in wanted:
        named = next(key for key in sorted(gene.alleles) if catalogue.alleles[key].name == gene.name)
        for flag in _flags(named, catalogue):
            if flag.copies <= gene.copies:
                yield _flagged(named, flag, catalogue)
    for rule in catalogue.together:
        if all(any(key in gene.alleles for gene in wanted) for key in rule.alleles):
            yield Caution(
                f"harm-together:{'+'.join(rule.alleles)}",
                _STOP if rule.lethal >= 0.5 else _THINK,
                f"{_names(rule.alleles, catalogue)}: {rule.text}{_trust(rule.mark)}",
            )


def unspoken(cautions: Iterable[Caution], goal: Goal) -> tuple[Caution, ...]:
    """Cautions that bar a pair until the keeper has spoken for them.

    Parameters
    ----------
    cautions : iterable of Caution
        Of a goal or a pair.
    goal : Goal
        Its `accepted` codes are spoken for.
    """
    return tuple(
        caution
        for caution in cautions
        if _bars(caution) and not goal.accepted & {caution.code, caution.code.partition(":")[0]}
    )


def _bars(caution: Caution) -> bool:
    if caution.level == _NOTE:
        return False
    return caution.level == _STOP or caution.code.startswith(("welfare-", "dies:", "harm-together:"))


class PairWelfare:
    """Cautions of pairs of animals at hand.

    Parameters
    ----------
    stock : Stock or GenesAtHand
        Animals at hand, or what they may carry.
    catalogue : Catalogue
        Species.

    Notes
    -----
    The two are taken as independent; a caution is said from a chance of `WORTH_TELLING` on.
    """

    def __init__(self, stock: Stock | GenesAtHand, catalogue: Catalogue) -> None:
        self._genes = stock.genes if isinstance(stock, Stock) else stock
        self._catalogue = catalogue
        self._carried: dict[str, dict[str, float]] = {}
        self._pairs: dict[tuple[str, str], tuple[Caution, ...]] = {}

    def of_pair(self, sire: str, dam: str) -> tuple[Caution, ...]:
        """What has to be said of a pair, what bars it first.

        Parameters
        ----------
        sire, dam : str
            Ids of a male and a female.
        """
        known = self._pairs.get((sire, dam))
        if known is None:
            known = self._pairs[sire, dam] = self._of_pair(self._carries(sire), self._carries(dam))
        return known

    def _of_pair(self, his: dict[str, float], hers: dict[str, float]) -> tuple[Caution, ...]:
        if not (his or hers):
            return ()
        found = [*self._pairings(his, hers), *self._deaths(his, hers), *self._of_young(his, hers)]
        return tuple(sorted(dict.fromkeys(found), key=lambda caution: not _bars(caution)))

    @cached_property
    def _spoken_of(self) -> tuple[str, ...]:
        """Alleles that any statement is about, by what they count as."""
        catalogue = self._catalogue
        named = [key for rule in catalogue.pairing_cautions for key in (*rule.sire, *rule.dam)]
        named += [key for rule in catalogue.together for key in rule.alleles]
        named += [key for key, allele in catalogue.alleles.items() if allele.flags or allele.lethal]
        return tuple(dict.fromkeys(catalogue.stands_for(key) for key in named))

    @cached_property
    def _by_locus(self) -> dict[str, frozenset[str]]:
        found: dict[str, frozenset[str]] = {}
        for key in self._spoken_of:
            locus = self._catalogue.alleles[key].locus
            found[locus] = found.get(locus, frozenset()) | {key}
        return found

    def _carries(self, animal: str) -> dict[str, float]:
        """Chance that an animal carries each of the alleles spoken of, where it is worth telling."""
        known = self._carried.get(animal)
        if known is None:
            found: dict[str, float] = {}
            for locus, keys in self._by_locus.items():
                for alleles, chance in self._genes.at(animal, locus).items():
                    for key in {self._catalogue.stands_for(one) for one in alleles if one != WILD} & keys:
                        found[key] = found.get(key, 0.0) + chance
            known = {key: chance for key, chance in found.items() if chance >= WORTH_TELLING}
            self._carried[animal] = known
        return known

    def _pairings(self, his: dict[str, float], hers: dict[str, float]) -> Iterator[Caution]:
        for rule in self._catalogue.pairing_cautions:
            first, second = self._side(rule.sire), self._side(rule.dam)
            straight = _any(his, first) * _any(hers, second)
            turned = 0.0 if rule.dam_only else _any(his, second) * _any(hers, first)
            if max(straight, turned) >= WORTH_TELLING:
                yield _of_pairing(rule, max(straight, turned))

    def _side(self, named: Sequence[str]) -> frozenset[str]:
        return frozenset(self._catalogue.stands_for(key) for key in named)

    def _deaths(self, his: dict[str, float], hers: dict[str, float]) -> Iterator[Caution]:
        for key in sorted(his.keys() & hers.keys()):
            allele = self._catalogue.alleles[key]
            if allele.lethal and his[key] * hers[key] >= WORTH_TELLING:
                message = f"{allele.name} on both sides: young with two copies die {_when(allele.lethal_stage)}."
                yield Caution(f"dies:{key}", _STOP, message + _trust(allele.mark))

    def _of_young(self, his: dict[str, float], hers: dict[str, float]) -> Iterator[Caution]:
        for key in dict.fromkeys((*his, *hers)):
            for flag in _flags(key, self._catalogue):
                both = his.get(key, 0.0) * hers.get(key, 0.0)
                if flag.copies == 1 or both >= WORTH_TELLING:
                    yield _flagged(key, flag, self._catalogue)
        for rule in self._catalogue.together:
            held = [self._catalogue.stands_for(key) for key in rule.alleles]
            if all(key in his or key in hers for key in held) and _crossed(held, his, hers):
                yield Caution(
                    f"harm-together:{'+'.join(rule.alleles)}",
                    _STOP if rule.lethal >= 0.5 else _THINK,
                    f"{_names(rule.alleles, self._catalogue)}: {rule.text}{_trust(rule.mark)}",
                )


def _any(carried: dict[str, float], side: frozenset[str]) -> float:
    """Chance that an animal carries any of some alleles; 1 where anyone will do."""
    none = 1.0
    for key in sorted(side):
        none *= 1.0 - carried.get(key, 0.0)
    return 1.0 - none if side else 1.0


def _crossed(held: Sequence[str], his: dict[str, float], hers: dict[str, float]) -> bool:
    """Whether a young may come by all of some alleles with a chance that is worth telling."""
    chance = 1.0
    for key in held:
        chance *= max(his.get(key, 0.0), hers.get(key, 0.0))
    return chance >= WORTH_TELLING


def _flags(key: str, catalogue: Catalogue) -> tuple[Flag, ...]:
    return catalogue.alleles[key].flags


def _flagged(key: str, flag: Flag, catalogue: Catalogue) -> Caution:
    name = catalogue.alleles[key].name
    who = f"{name}, two copies" if flag.copies == 2 else name
    code = f"welfare-{flag.kind.replace(' ', '-')}:{catalogue.stands_for(key)}"
    level = _NOTE if flag.kind in _LIGHT else _THINK
    return Caution(code, level, f"{who}: {flag.text}{_trust(flag.mark)}")


def _of_pairing(rule: PairingCaution, chance: float) -> Caution:
    doubt = "" if chance >= 0.995 else " Not sure that it applies: what one of them carries is not certain."
    return Caution(rule.code, rule.level, rule.message + doubt + _trust(rule.mark))


def _names(keys: Sequence[str], catalogue: Catalogue) -> str:
    return " with ".join(catalogue.alleles[key].name for key in keys)


def _when(stage: str) -> str:
    return "in the egg" if stage == "in egg" else "after hatching"


def _trust(mark: Mark) -> str:
    """Trust in a statement, as a short ending."""
    return "" if mark is Mark.PUBLISHED else f" ({mark[0].upper()}{mark[1:]}.)"
