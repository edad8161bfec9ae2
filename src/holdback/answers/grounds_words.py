"""Words for single groups of records: what the parents are, what the animal shows, what its young tell."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.answers.grounds_asked import SURE
from holdback.answers.grounds_kin import Group
from holdback.answers.grounds_telling import ParentState, Telling, claim_of, counted, listed, said
from holdback.answers.grounds_weighed import ALL
from holdback.collection.model import NO_SIRE
from holdback.descent.family import UNKNOWN_SIRE
from holdback.heredity.beliefs.evidence import RecordKind

LEAST_TOLD = 0.02
"""Chance below which a parent is not said to carry anything."""

_EASILY_MISSED = 0.05
_PROBABLE = 0.6


def group_words(telling: Telling, number: int) -> str:
    """What a group of records is, as a breeder would say it."""
    group = telling.groups[number]
    if group.kind == "parents":
        above = parents_clause(telling, telling.asked.name, telling.parents_by_descent)
        return above or _nothing_above(telling)
    if group.kind == "relatives":
        return relatives_clause(telling)
    if group.kind == "look":
        return look_clause(telling)
    if group.kind == "claim":
        return claims_clause(group)
    if group.kind == "sibs":
        return sibs_clause(telling, number)
    return young_clause(telling, number)


def told_animals(telling: Telling, number: int) -> tuple[str, ...]:
    """Ids of the animals that the words of a group speak of."""
    group = telling.groups[number]
    if group.kind == "parents":
        return tuple(state.animal for state in telling.parents)
    if group.kind in ("look", "claim"):
        return (telling.asked.animal,)
    if group.kind == "sibs":
        return telling.kin.sibs
    if group.kind == "young":
        return (*telling.kin.young[group.mate], *(one for one in group.mate if one not in (NO_SIRE, UNKNOWN_SIRE)))
    half = [one for state in telling.parents for young in telling.kin.half_sibs(state.animal).values() for one in young]
    return tuple(dict.fromkeys(half))


# --- parents ----------------------------------------------------------------------------------------------------------


def parents_clause(telling: Telling, name: str, parents: Sequence[ParentState]) -> str:
    """What the parents are: "both parents carry Clown for sure"; empty where nothing is known behind them."""
    states = tuple(sorted(parents, key=lambda state: not state.is_shown))
    giver = _giver(telling, states)
    if giver is not None:
        return _parent(telling, giver, name)
    if len(states) == 2 and {state.role for state in states} == {"sire", "dam"}:
        if all(state.is_shown for state in states):
            return f"both parents show {name}"
        if all(state.is_sure and not state.is_shown for state in states):
            return f"both parents {_carry(telling)} {name} for sure{_reason_of_both(telling)}"
    told = [state for state in states if state.chance >= LEAST_TOLD or state.is_shown]
    clauses: list[str] = []
    sires = [state for state in told if state.role == "sire"]
    if len([state for state in states if state.role == "sire"]) > 1:
        clauses += [_candidates(telling, name)] if sires else []
        told = [state for state in told if state.role == "dam"]
    for state in told:
        clauses.append(_parent(telling, state, "it" if clauses else name))
    return (", and " if "," in clauses[0] else " and ").join(clauses) if clauses else ""


def _giver(telling: Telling, states: Sequence[ParentState]) -> ParentState | None:
    """The one parent whose two copies of a hidden gene make every young a carrier; None where both show it."""
    shown = [state for state in states if state.is_shown and state.copies[2] > SURE]
    is_carrier = telling.asked.is_hidden and telling.asked.n_copies == 1 and telling.chance(ALL) > SURE
    return shown[0] if is_carrier and len(shown) == 1 else None


def _parent(telling: Telling, state: ParentState, it: str) -> str:
    """One parent: "its dam Thistle 19-01 carries Clown for sure, as her dam Quill 17-02 shows it"."""
    brood = telling.kin.brood
    is_only = brood is not None and [one.animal for one in brood.sires] == [NO_SIRE]
    who = f"its {state.role} {telling.label(state.animal)}{', its only parent,' if is_only else ''}"
    return f"{who} {_what(telling, state, it)}"


def _what(telling: Telling, state: ParentState, it: str) -> str:
    if state.is_shown:
        return f"shows {it}"
    verb = "carries" if telling.asked.is_hidden else "has"
    if state.is_sure:
        return f"{verb} {it} for sure{_reason(telling, state)}"
    if state.claim:
        return f"is {state.claim} (taken at {said(state.chance)})"
    if state.chance >= _PROBABLE:
        return f"probably {verb} {it} ({said(state.chance)})"
    return f"may {_carry(telling)} {it} ({said(state.chance)})"


def _carry(telling: Telling) -> str:
    return "carry" if telling.asked.is_hidden else "have"


def _candidates(telling: Telling, name: str) -> str:
    """Several candidate sires: "its sire is Tallow 18-05 (70 %), who shows Banana, or Kestrel 19-11 (30 %)"."""
    chances = {case.sire: case.chance for case in telling.cases}
    states = {state.animal: state for state in telling.parents}
    words = []
    for case in telling.cases:
        if case.sire in states and states[case.sire].chance >= LEAST_TOLD:
            what = _what(telling, states[case.sire], name)
            words.append(f"{telling.label(case.sire)} ({said(chances[case.sire])}), who {what},")
        elif case.chance >= LEAST_TOLD:
            words.append(f"{sire_name(telling, case.sire)} ({said(case.chance)})")
    return f"its sire is {' or '.join(words)}".rstrip(",")


def sires_words(telling: Telling) -> str:
    """How likely each candidate sire is by all genes."""
    told = [case for case in telling.cases if case.chance >= LEAST_TOLD]
    first, *others = sorted(told, key=lambda case: -case.chance)
    words = [f"its sire is {sire_name(telling, first.sire)} with {said(first.chance)}"]
    words += [f"{sire_name(telling, case.sire)} with {said(case.chance)}" for case in others]
    return f"{listed(words)}, by all genes of the clutch"


def sire_name(telling: Telling, sire: str) -> str:
    """A candidate sire in words."""
    return {UNKNOWN_SIRE: "a male not on record", NO_SIRE: "none"}.get(sire) or telling.label(sire)


def _reason(telling: Telling, state: ParentState) -> str:
    """Why a parent carries the gene for sure: what its own parents or other young show; empty where neither does."""
    if not state.role:
        return ""
    her = "her" if state.role == "dam" else "his"
    brood = telling.kin.family.brood_of(state.animal)
    above = ([("dam", brood.dam)] if brood.dam else []) if brood else []
    if brood and len(brood.sires) == 1:
        above.append(("sire", brood.sires[0].animal))
    for role, animal in above:
        if telling.asked.shows(animal):
            return f", as {her} {role} {telling.label(animal)} shows it"
    for mate, young in telling.kin.half_sibs(state.animal).items():
        shown, _ = telling.asked.tally(young)
        if shown:
            return f", as {counted(len(shown))} of {her} young{_by_mate(telling, mate)} {_show(len(shown))} it"
    return ""


def _reason_of_both(telling: Telling) -> str:
    reasons = [_reason(telling, state) for state in telling.parents]
    return "" if any(not reason for reason in reasons) or len(set(reasons)) > 1 else reasons[0]


def _nothing_above(telling: Telling) -> str:
    name = telling.asked.name
    states = telling.parents
    if len(states) == 1:
        return f"its {states[0].role} {telling.label(states[0].animal)} is not known to {_carry(telling)} {name}"
    return f"neither parent is known to {_carry(telling)} {name}"


# --- the animal itself ------------------------------------------------------------------------------------------------


def look_clause(telling: Telling) -> str:
    """What the animal shows: "it looks normal", "it shows Clown"."""
    record, asked = telling.own_look, telling.asked
    if record is None:
        words = [one.words for group in telling.groups if group.kind == "look" for one in group.records]
        return f"it {words[-1]}"
    if asked.is_shown_by(record):
        return f"it {record.words}"
    doubt = ", which is easily missed" if asked.missed >= _EASILY_MISSED else ""
    if record.words.startswith("shows"):
        return f"it {record.words}, not {asked.name}{doubt}"
    is_normal = record.words == "looks normal" and not doubt
    return "it looks normal" if is_normal else f"it shows no {asked.name}{doubt}"


def claims_clause(group: Group) -> str:
    """What is said of the animal."""
    return f"it is {claim_of(group.records[-1])}"


# --- other kin --------------------------------------------------------------------------------------------------------


def sibs_clause(telling: Telling, number: int) -> str:
    """What the clutch mates show, those of other clutches of the same parents among them."""
    shown, missing = telling.asked.tally(telling.kin.sibs)
    brood = telling.kin.brood
    told = shown or missing
    kind = "clutch mate" if brood and all(one in brood.young for one in told) else "full sib"
    if shown:
        return f"{counted(len(shown))} {kind}{_s(shown)} {_show(len(shown))} {telling.asked.name}"
    if missing and not telling.is_raised_by(number):
        who = f"its one {kind}" if len(missing) == 1 else f"none of its {counted(len(missing))} {kind}s"
        return f"{who} {'does not show' if len(missing) == 1 else 'shows'} {telling.asked.name}"
    return f"what is {_recorded(telling, telling.groups[number])} of its clutch mates"


def explained_by_sibs(telling: Telling) -> bool:
    """Whether some parent carries the gene for sure with no reason but what the clutch mates show."""
    return any(state.is_sure and not state.is_shown and not _reason(telling, state) for state in telling.parents)


def relatives_clause(telling: Telling) -> str:
    """What the half sibs show, or that other kin speak."""
    parts = []
    name = telling.asked.name
    for state in telling.parents:
        young = [one for each in telling.kin.half_sibs(state.animal).values() for one in each]
        shown, missing = telling.asked.tally(young)
        of = f"other young of {telling.label(state.animal)}"
        if shown:
            parts.append(f"{counted(len(shown))} {of} {_show(len(shown))} {name}")
        elif missing and state.chance > LEAST_TOLD and not state.is_sure:
            none = f"one {of} does not show" if len(missing) == 1 else f"none of {counted(len(missing))} {of} shows"
            parts.append(f"{none} {name}")
    return listed(parts) if parts else "the records of other kin"


def young_clause(telling: Telling, number: int) -> str:
    """What the young by one mate show: "five young by Quill 17-02, who shows Clown, and none shows it"."""
    group = telling.groups[number]
    young = telling.kin.young[group.mate]
    shown, missing = telling.asked.tally(young)
    state = _mate_state(telling, number)
    mate = _by_mate(telling, group.mate) + state
    it = "it" if state else telling.asked.name
    if shown:
        of = f" of {counted(len(shown) + len(missing))}" if missing else ""
        return f"{counted(len(shown))}{of} young{mate} {_show(len(shown))} {it}"
    below, _ = telling.asked.tally(dict.fromkeys(record.animal for record in group.records))
    if below:
        who = listed([telling.label(one) for one in below])
        return f"{who}, descended from its young{mate.rstrip(',')}, {_show(len(below))} {it}"
    if missing and not telling.is_raised_by(number):
        end = f"does not show {it}" if len(missing) == 1 else f"and none shows {it}"
        return f"{counted(len(missing))} young{mate} {end}"
    return f"what is {_recorded(telling, group)} of its young{mate.rstrip(',')}"


def _recorded(telling: Telling, group: Group) -> str:
    """Word for records: "said" where there are claims on the gene among them."""
    is_said = any(one.kind is RecordKind.CLAIM and telling.asked.is_named(one) for one in group.records)
    return "said" if is_said else "recorded"


def _mate_state(telling: Telling, number: int) -> str:
    """What the mate is, its young with the animal left out: ", who shows Clown,"."""
    mate = telling.groups[number].mate
    if len(mate) != 1 or mate[0] in (NO_SIRE, UNKNOWN_SIRE):
        return ""
    if telling.asked.shows(mate[0]):
        return f", who shows {telling.asked.name},"
    none, one, two = telling.copies(("without", number), mate[0])
    state = ParentState("", mate[0], False, (none, one, two))
    return f", who {_what(telling, state, telling.asked.name)}," if state.chance >= LEAST_TOLD else ""


def _by_mate(telling: Telling, mate: Sequence[str]) -> str:
    known = [one for one in mate if one not in (NO_SIRE, UNKNOWN_SIRE)]
    if NO_SIRE in mate and not known:
        return " without a sire"
    return f" by {listed([telling.label(one) for one in known], 'or')}" if known else ""


def _show(count: int) -> str:
    return "shows" if count == 1 else "show"


def _s(animals: Sequence[str]) -> str:
    return "" if len(animals) == 1 else "s"
