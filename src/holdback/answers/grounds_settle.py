"""Which record would settle an open question on a gene."""

from __future__ import annotations

from collections.abc import Mapping

from holdback.answers.grounds import Grounds
from holdback.answers.grounds_telling import listed
from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE
from holdback.descent.family import UNKNOWN_SIRE
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Ease, pair

OPEN = (0.02, 0.98)
"""A chance between these is an open question."""

_EASILY_MISSED = 0.05
_LEAST_APART = 0.2


def what_would_settle(
    grounds: Grounds, collection: Collection, catalogue: Catalogue, *, test_breeding: str = ""
) -> str:
    """One sentence on the record that would settle a chance; empty where it is settled.

    Parameters
    ----------
    grounds : Grounds
        The chance with its grounds.
    collection : Collection
        Names of the animals.
    catalogue : Catalogue
        Looks.
    test_breeding : str
        What a test mating would take, in a clause worked out elsewhere: "five normal young bring it under 5 %".

    Returns
    -------
    str
        Which sire, where that is in doubt and decides; a better look, where the gene shows and is hard to see; else a
        mating.
    """
    if not OPEN[0] < grounds.chance < OPEN[1]:
        return ""
    if _is_decided_by_sire(grounds):
        names = [_sire_name(case.sire, collection) for case in grounds.sires if case.chance > OPEN[0]]
        return f"To know whether {listed(names, 'or')} is its sire would settle most."
    single = catalogue.look(grounds.locus, pair(WILD, grounds.allele))
    tail = f": {test_breeding}" if test_breeding else ""
    if not single.label:
        return _by_hidden_gene(grounds, tail)
    if grounds.n_asked == 2:
        return f"Young by an animal without {grounds.name} would tell: one that lacks it rules out two copies{tail}."
    missed = catalogue.alleles[grounds.allele].missed
    if single.ease is not Ease.PLAIN or missed >= _EASILY_MISSED:
        return f"A second look at it for {grounds.name}, which is hard to tell, would say most; its young would too."
    return f"A look at it would settle whether it has {grounds.name}."


def _by_hidden_gene(grounds: Grounds, tail: str) -> str:
    name = grounds.name
    if grounds.n_asked == 2:
        return f"Put to an animal that shows {name}, one young that does not show it would rule out two copies{tail}."
    return f"Put to an animal that shows {name}, one young that shows it would prove it{tail}."


def _is_decided_by_sire(grounds: Grounds) -> bool:
    chances = [sum(case.copies[grounds.n_asked :]) for case in grounds.sires if case.chance > OPEN[0]]
    return len(chances) > 1 and max(chances) - min(chances) > _LEAST_APART


def _sire_name(sire: str, collection: Collection) -> str:
    words: Mapping[str, str] = {UNKNOWN_SIRE: "a male not on record", NO_SIRE: "no male"}
    known = collection.animals.get(sire)
    return words.get(sire) or (f"{known.name} {sire}" if known and known.name else sire)
