"""The sentence that says why: clauses in the order of the chain, and the chance that they lead to."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.answers.grounds_asked import SURE
from holdback.answers.grounds_telling import Telling, claim_of, listed, said
from holdback.answers.grounds_weighed import ALL, NOTHING
from holdback.answers.grounds_words import (
    claims_clause,
    explained_by_sibs,
    look_clause,
    parents_clause,
    relatives_clause,
    sibs_clause,
    young_clause,
)

_TWO_FOR_SURE = 0.98
_LEFT_OPEN = 0.02


def sentence_of(telling: Telling, kept: Sequence[int]) -> str:
    """Why the chance is what it is, in one sentence or two.

    Parameters
    ----------
    telling : Telling
        What the words are made from.
    kept : sequence of int
        Numbers of the groups that move the chance.
    """
    kept = _until_sure(telling, kept)
    kinds = frozenset(telling.groups[number].kind for number in kept)
    look = telling.own_look
    if look is not None and telling.asked.is_shown_by(look):
        text = _shown(telling)
    elif _is_proved_by_young(telling, kept):
        text = _proved(telling, kept)
    elif not kinds:
        share = said(telling.chance(NOTHING))
        text = f"nothing recorded speaks of {telling.asked.name}; {share} of animals are taken to carry it"
    elif kinds <= {"claim", "look"} and telling.is_carried_by_claim:
        text = _claimed(telling)
    else:
        text = _chain(telling, kept, kinds)
    return _sentence(text) + _rests(telling)


def _until_sure(telling: Telling, kept: Sequence[int]) -> list[int]:
    """The chain up to the step after which the gene is sure, and stays so."""
    told: list[int] = []
    for number in kept:
        told.append(number)
        later = range(number, len(telling.groups))
        if telling.asked.n_copies == 1 and all(telling.chance(("chain", each)) > SURE for each in later):
            break
    return told


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _shown(telling: Telling) -> str:
    """For an animal that shows the gene: how many copies it has."""
    asked, look = telling.asked, telling.own_look
    assert look is not None
    none, _, two = asked.copies
    is_carried = 1.0 - none
    if asked.is_hidden or two / is_carried > _LEFT_OPEN:
        chance = two if asked.is_hidden else two / is_carried
        if chance > _TWO_FOR_SURE:
            return f"{look.words}: two copies"
        above = parents_clause(telling, "it", telling.parents)
        return f"{look.words}{'; ' + above if above else ''}: two copies with {said(chance)}"
    if is_carried > _TWO_FOR_SURE:
        return f"{look.words}: one copy"
    number = next(number for number, group in enumerate(telling.groups) if group.kind == "look")
    doubt = "which nothing above it explains" if _is_against(telling, number) else "which is easily mistaken"
    return f"{look.words}, {doubt}: {said(is_carried)}"


def _is_against(telling: Telling, number: int) -> bool:
    """Whether the recorded parents make it unlikely that the animal has what it shows."""
    return bool(telling.parents) and telling.chance(("without", number)) < _LEFT_OPEN


def _is_proved_by_young(telling: Telling, kept: Sequence[int]) -> bool:
    is_last = any(telling.groups[number].kind == "young" for number in kept)
    return is_last and telling.chance(ALL) > SURE and telling.before_young <= SURE


def _proved(telling: Telling, kept: Sequence[int]) -> str:
    """For an animal that its young prove: the young that show the gene alone."""
    young = [number for number in kept if telling.groups[number].kind == "young"]
    telling_most = min(young, key=lambda number: telling.chance(("without", number)))
    return f"{young_clause(telling, telling_most)}: {_verdict(telling)}"


def _claimed(telling: Telling) -> str:
    """For an animal of which only something is said."""
    records = [one for group in telling.groups if group.kind == "claim" for one in group.records]
    words = claim_of(records[-1])
    chance = said(telling.chance(ALL))
    end = "" if chance in words else f": {chance}"
    return f"{words}; nothing recorded here proves it{end}"


def _chain(telling: Telling, kept: Sequence[int], kinds: frozenset[str]) -> str:
    """What leads to the chance, step by step."""
    young = [young_clause(telling, number) for number in kept if telling.groups[number].kind == "young"]
    before = _before_young(telling, kinds)
    if not young:
        return f"{'; '.join(before or [relatives_clause(telling)])}: {_verdict(telling)}"
    sources = _sources(kinds)
    if "parents" in kinds and sources:
        return f"{said(telling.before_young)} by {listed(sources)}; {'; '.join(young)}: {_verdict(telling)}"
    return f"{'; '.join([*before, *young])}: {_verdict(telling)}"


def _before_young(telling: Telling, kinds: frozenset[str]) -> list[str]:
    clauses: list[str] = []
    sibs = next((number for number, group in enumerate(telling.groups) if group.kind == "sibs"), None)
    told = sibs_clause(telling, sibs) if sibs is not None and "sibs" in kinds else ""
    is_led = bool(telling.asked.tally(telling.kin.sibs)[0]) and bool(told)
    if kinds & {"parents", "relatives", "sibs"}:
        clauses += _above(telling, told if is_led else "")
    if "look" in kinds:
        clauses.append(look_clause(telling))
    clauses += [claims_clause(group) for group in telling.groups if group.kind == "claim" and "claim" in kinds]
    if told and not is_led and sibs is not None and not telling.is_raised_by(sibs):
        clauses.append(told)
    return clauses


def _above(telling: Telling, lead: str) -> list[str]:
    """What the parents are; where clutch mates show the gene, these first."""
    above = parents_clause(telling, "it" if lead else telling.asked.name, telling.parents)
    if lead and above and explained_by_sibs(telling):
        return [f"{lead}, so {above}"]
    return [clause for clause in (lead, above) if clause]


def _sources(kinds: frozenset[str]) -> list[str]:
    words = {
        "parents": "its parents",
        "relatives": "other kin",
        "look": "its look",
        "claim": "what is said of it",
        "sibs": "its clutch mates",
    }
    return [said_as for kind, said_as in words.items() if kind in kinds]


def _verdict(telling: Telling) -> str:
    chance = telling.chance(ALL)
    if telling.asked.n_copies == 2:
        return "two copies" if chance > _TWO_FOR_SURE else f"two copies with {said(chance)}"
    if chance > SURE:
        return "carries it for sure" if telling.asked.is_hidden else "has it for sure"
    return said(chance)


def _rests(telling: Telling) -> str:
    """A second sentence that names the claims on ancestors which carry the chance."""
    told = {state.animal for state in telling.parents if state.claim}
    resting = [one for one in telling.resting_on if one not in told]
    if not resting:
        return ""
    claims = listed([f"{telling.label(one)} being {telling.claim_words(one)}" for one in resting])
    return f" It rests on {claims}."
