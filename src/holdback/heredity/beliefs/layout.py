"""The animals of one independent part of a pedigree as the nodes of a network, the same for every locus.

Nodes are animals, parents that are not on record, and, where the sire is doubtful, "the sire of this clutch". Switches
are what all loci share: which candidate is the sire, and whether a look is hidden by another gene.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from holdback.collection.model import NO_SIRE, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.evidence import Evidence

_LEAST = 1e-12
"""Least chance of a sex that a young without a sire cannot have; nothing on record is impossible."""


@dataclass(frozen=True, slots=True)
class Switch:
    """Something that several loci share.

    Parameters
    ----------
    name : str
        Unique in the layout.
    choices : tuple of str
        Candidate sires; for a hiding look "seen" and "hidden".
    prior : tuple of float
        Weight of each choice.
    brood : str
        Key of the brood; empty for a hiding look.
    animal : str
        Animal whose sire or look it is; empty where it is the sire of a whole brood.
    locus : str
        Hiding locus; empty for a sire.
    """

    name: str
    choices: tuple[str, ...]
    prior: tuple[float, ...]
    brood: str = ""
    animal: str = ""
    locus: str = ""


@dataclass(frozen=True, slots=True)
class SireNode:
    """The sire of a brood, or of one egg of it.

    Parameters
    ----------
    node : str
        Name of the node; empty where there is no sire for certain.
    switch : Switch or None
        Which candidate it is; None where there is only one.
    candidates : tuple of str
        Candidate ids, `UNKNOWN_SIRE` and `NO_SIRE` among them.
    """

    node: str
    switch: Switch | None
    candidates: tuple[str, ...]

    @property
    def is_virtual(self) -> bool:
        """Whether the node is no single recorded animal."""
        return bool(self.node) and (self.switch is not None or self.candidates == (UNKNOWN_SIRE,))

    @property
    def may_be_none(self) -> bool:
        """Whether there may have been no sire, beside other candidates."""
        return self.switch is not None and NO_SIRE in self.candidates


@dataclass(frozen=True)
class Layout:
    """Nodes and switches of one part of a pedigree.

    Parameters
    ----------
    family : Family
        The whole pedigree.
    animals : tuple of str
        Animals of this part, in record order.
    flags : tuple of Switch
        Looks that may be hidden.
    unfolded : frozenset of str
        Young without young that are to be nodes of their own all the same.
    """

    family: Family
    animals: tuple[str, ...]
    flags: tuple[Switch, ...] = ()
    unfolded: frozenset[str] = frozenset()
    sire_of: Mapping[str, SireNode] = field(init=False, repr=False)
    dam_of: Mapping[str, str] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Find the sire and the dam node of every young."""
        sires: dict[str, SireNode] = {}
        dams: dict[str, str] = {}
        for brood in self.broods:
            shared = None if brood.each_egg else _sire_node(brood, "")
            for young in brood.young:
                sires[young] = shared or _sire_node(brood, young)
                dams[young] = brood.dam or f"dam of {brood.key}"
        object.__setattr__(self, "sire_of", sires)
        object.__setattr__(self, "dam_of", dams)

    @cached_property
    def broods(self) -> tuple[Brood, ...]:
        """Broods of this part."""
        here = set(self.animals)
        return tuple(brood for brood in self.family.broods if brood.young[0] in here)

    @cached_property
    def switches(self) -> tuple[Switch, ...]:
        """Doubtful sires, then looks that may be hidden; the axes of the shared table."""
        found = {node.switch.name: node.switch for node in self.sire_of.values() if node.switch is not None}
        return (*found.values(), *self.flags)

    @cached_property
    def breeders(self) -> frozenset[str]:
        """Animals that are, or may be, a parent."""
        return frozenset(self.family.broods_of_parent) & frozenset(self.animals)

    @cached_property
    def folded(self) -> frozenset[str]:
        """Young without young: each is a factor of its parents, not a node."""
        flagged = {flag.animal for flag in self.flags}
        return frozenset(
            one for one in self.sire_of if one not in self.breeders and one not in flagged and one not in self.unfolded
        )

    @cached_property
    def founders(self) -> tuple[str, ...]:
        """Nodes without parents: animals, dams and sires that are not on record."""
        real = [animal for animal in self.animals if animal not in self.sire_of]
        dams = [node for young, node in self.dam_of.items() if node not in self.family.sexes]
        sires = [node.node for node in self.sire_of.values() if node.is_virtual and node.switch is None]
        return tuple(dict.fromkeys([*real, *dams, *sires]))

    @cached_property
    def doubtful(self) -> tuple[SireNode, ...]:
        """Sires with several candidates, each once."""
        return tuple({node.node: node for node in self.sire_of.values() if node.switch is not None}.values())

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """Nodes of the network without switches: founders, doubtful sires, young that are not folded."""
        young = [one for one in self.sire_of if one not in self.folded]
        return (*self.founders, *(node.node for node in self.doubtful), *young)

    def couple_of(self, young: str) -> tuple[str, ...]:
        """Sire node and dam node of a young; the dam alone where there was no sire."""
        sire = self.sire_of[young].node
        return (sire, self.dam_of[young]) if sire else (self.dam_of[young],)

    @cached_property
    def couples(self) -> Mapping[tuple[str, ...], tuple[str, ...]]:
        """Folded young by their parents' nodes."""
        found: dict[tuple[str, ...], list[str]] = {}
        for young in self.sire_of:
            if young in self.folded:
                found.setdefault(self.couple_of(young), []).append(young)
        return {parents: tuple(young) for parents, young in found.items()}

    def parents(self, name: str) -> Iterator[str]:
        """Nodes from which the alleles of a node may come directly."""
        if name in self.sire_of:
            if self.sire_of[name].node:
                yield self.sire_of[name].node
            yield self.dam_of[name]
        for node in self._doubtful_by_name.get(name, ()):
            yield from (one for one in node.candidates if one not in (UNKNOWN_SIRE, NO_SIRE))

    @cached_property
    def _doubtful_by_name(self) -> Mapping[str, tuple[SireNode, ...]]:
        return {node.node: (node,) for node in self.doubtful}

    @cached_property
    def youngest_first(self) -> tuple[str, ...]:
        """Every animal and node before those its alleles may come from."""
        order: list[str] = []
        done: set[str] = set()
        everything = dict.fromkeys([*self.animals, *self.nodes])
        for start in everything:
            stack = [(start, False)]
            while stack:
                name, is_left = stack.pop()
                if is_left:
                    order.append(name)
                elif name not in done:
                    done.add(name)
                    stack.append((name, True))
                    stack.extend((parent, False) for parent in self.parents(name) if parent not in done)
        return tuple(reversed(order))

    def sex_of(self, name: str) -> Sex:
        """Sex of a node: by its role where it is a parent, else as recorded."""
        return self._role.get(name) or self.family.sexes.get(name, Sex.UNKNOWN)

    @cached_property
    def _role(self) -> Mapping[str, Sex]:
        roles = dict.fromkeys(self.dam_of.values(), Sex.FEMALE)
        for node in self.sire_of.values():
            roles.update(dict.fromkeys((node.node, *node.candidates), Sex.MALE))
        return roles

    def prior(self, evidence: Evidence) -> dict[str, tuple[float, ...]]:
        """Weight of every choice of every switch, the recorded sexes of the young counted for and against no sire."""
        found = {}
        for switch in self.switches:
            weights = list(switch.prior)
            if NO_SIRE in switch.choices and not switch.locus:
                brood = next(brood for brood in self.broods if brood.key == switch.brood)
                young = (switch.animal,) if switch.animal else brood.young
                weights[switch.choices.index(NO_SIRE)] *= self._all_of_one_sex(young, evidence)
            found[switch.name] = tuple(weights)
        return found

    def _all_of_one_sex(self, young: Collection[str], evidence: Evidence) -> float:
        """P(recorded sexes | no sire) over P(recorded sexes | a sire); a parent is of the sex of its part."""
        ratio = 1.0
        for one in young:
            sex = self.sex_of(one)
            if sex is not Sex.UNKNOWN:
                error = 0.0 if one in self.breeders else evidence.sex_error
                ratio *= 2.0 * max(error if sex is evidence.heterogametic else 1.0 - error, _LEAST)
        return ratio

    def log_unsired(self, evidence: Evidence) -> float:
        """Logarithm of the same ratio for all young that had no sire for certain, so that hypotheses compare."""
        alone = [young for young, node in self.sire_of.items() if not node.node]
        return math.log(self._all_of_one_sex(alone, evidence))


def _sire_node(brood: Brood, young: str) -> SireNode:
    """Sire of a brood, or of one egg of it where `young` is given."""
    candidates = tuple(one.animal for one in brood.sires)
    name = f"sire of {brood.key}" + (f": {young}" if young else "")
    if len(candidates) > 1:
        weights = tuple(one.weight for one in brood.sires)
        return SireNode(
            name, Switch(f"choice of {name}", candidates, weights, brood=brood.key, animal=young), candidates
        )
    if candidates[0] == NO_SIRE:
        return SireNode("", None, candidates)
    return SireNode(name if candidates[0] == UNKNOWN_SIRE else candidates[0], None, candidates)


def choice_name(family: Family, young: str) -> str:
    """Name of the switch that says who sired a young, where its sire is doubtful."""
    brood = family.brood_of(young)
    assert brood is not None, "a founder has no sire"
    return f"choice of sire of {brood.key}" + (f": {young}" if brood.each_egg else "")


def flags_of(animals: Collection[str], evidence: Evidence) -> tuple[Switch, ...]:
    """A switch for every animal and hiding locus for which some record may be hidden."""
    here = set(animals)
    return tuple(
        Switch(f"look of {animal} hidden at {locus}", ("seen", "hidden"), (1.0, 1.0), animal=animal, locus=locus)
        for animal, locus in evidence.hidden
        if animal in here
    )
