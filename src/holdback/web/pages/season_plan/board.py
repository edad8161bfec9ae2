"""The board: females against the males that are used, and what each other choice costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from holdback.decisions.season_plan import Move, Pairing, WhatIf, what_if
from holdback.web.pages.season.names import Names
from holdback.web.pages.season_plan.asked import Asked
from holdback.web.pages.season_plan.words import broken_words, cost, difference, eggs, in_100
from holdback.web.pages.season_plan.worked import Planned
from holdback.web.records.models import PlannedPairing

_ENOUGH = 16
"""Males that a board has columns for; with more the page has the pairs alone."""


@dataclass(frozen=True, slots=True)
class Now:
    """The pairs on the board: those of the plan, or as they were moved by hand.

    Parameters
    ----------
    found : Planned
        The plan.
    asked : Asked
        With the moves.
    state : WhatIf
        Pairs, worth and broken limits as they stand.
    """

    found: Planned
    asked: Asked
    state: WhatIf

    @classmethod
    def of(cls, found: Planned, asked: Asked) -> Now:
        """The plan of an address with its moves.

        Raises
        ------
        DecisionError
            DEC-037 if a move names somebody who is not in the plan.
        """
        return cls(found, asked, what_if(found.inp, found.plan, asked.moves))

    def moved(self, dam: str, sire: str) -> tuple[float, WhatIf]:
        """What one more move changes of the worth as it stands, and what comes of it."""
        then = what_if(self.found.inp, self.found.plan, self.asked.moved(dam, sire).moves)
        return then.worth - self.state.worth, then

    def breaks(self, then: WhatIf) -> list[str]:
        """Limits broken by a move that hold as it stands."""
        return broken_words(then, {one.limit for one in self.state.broken})


@dataclass(frozen=True, slots=True)
class PairShown:
    """One pair: who, for what, why, and what can be done with it.

    Parameters
    ----------
    anchor : str
        Id of the pair in the page.
    sire, dam : safe mark-up
        Names, linked.
    label : str
        Both in words.
    project, chance, value : str
        What for; chance of this clutch alone; what the plan would lose without it.
    reasons : tuple of str
        Sentences.
    is_fixed, is_moved : bool
        Whether plans keep it; whether it was put together by hand.
    state : str
        How it stands on record: "planned", "locked", or empty.
    change, without : str
        Addresses that look for another male, and that leave her out.
    keys : tuple of three str
        Keys of the female and the male, and of the project.
    """

    anchor: str
    sire: SafeString
    dam: SafeString
    label: str
    project: str
    chance: str
    value: str
    reasons: tuple[str, ...]
    is_fixed: bool
    is_moved: bool
    state: str
    change: str
    without: str
    keys: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Cell:
    """One square: what stands there, where it leads, and the same in a sentence."""

    text: str
    said: str
    address: str = ""
    is_here: bool = False
    is_against: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """A female, her squares, and what leaving her out would cost."""

    who: SafeString
    cells: tuple[Cell, ...]
    nobody: Cell


@dataclass(frozen=True, slots=True)
class Board:
    """Females against males.

    Parameters
    ----------
    males : tuple of (safe mark-up, str)
        Each male, and his clutches.
    rows : tuple of Row
        Females.
    """

    males: tuple[tuple[SafeString, str], ...]
    rows: tuple[Row, ...]


def pairs_shown(now: Now, names: Names, on_record: Sequence[PlannedPairing]) -> list[PairShown]:
    """The pairs as they stand, for each what can be done with it."""
    by_keys = {(str(one.dam_id), str(one.sire_id)): one.state for one in on_record}
    moved = {one.dam for one in now.asked.moves}
    projects = {one.id: one for one in now.found.inp.projects}
    return [
        PairShown(
            anchor=anchor_of(one.dam),
            sire=names.link(one.sire),
            dam=names.link(one.dam),
            label=f"{names.label(one.sire)} with {names.label(one.dam)}",
            project=what_for(now.found, one),
            chance=in_100(one.chance),
            value=f"worth {eggs(one.value)}" if one.value > 0 else f"costs {eggs(one.value)}",
            reasons=now.found.decisions.reasons(one, now.asked.year),
            is_fixed=one.locked,
            is_moved=one.dam in moved,
            state=by_keys.get((str(names.keys.get(one.dam)), str(names.keys.get(one.sire))), ""),
            change=f"{now.asked.but(her=one.dam).address}#her",
            without=f"{now.asked.moved(one.dam).address}#moved",
            keys=(str(names.keys.get(one.dam, "")), str(names.keys.get(one.sire, "")), one.project),
        )
        for one in now.state.pairings
        if not one.project or one.project in projects
    ]


def anchor_of(dam: str) -> str:
    """Id of a female's pair in the page."""
    return "pair-" + "".join(letter if letter.isalnum() else "-" for letter in dam)


def what_for(found: Planned, one: Pairing) -> str:
    """Project and part that a pair serves, in words."""
    if not one.project:
        return "no project"
    project = next(each for each in found.inp.projects if each.id == one.project)
    part = project.parts[one.part].name
    return f"{project.name}: {part}" if part else project.name


def board_of(now: Now, names: Names) -> Board | None:
    """Females against the males that are used; None where there are no pairs, or too many males for a page."""
    used = Counter(one.sire for one in now.state.pairings)
    males = [one for one in now.found.inp.males if used[one]]
    if not males or len(males) > _ENOUGH:
        return None
    caps = dict(zip(now.found.inp.males, now.found.inp.caps.tolist(), strict=True))
    heads = tuple((names.link(one), f"{used[one]} of {caps[one]}") for one in males)
    rows = tuple(_row(now, names, one, males) for one in now.state.pairings)
    return Board(heads, rows)


def _row(now: Now, names: Names, pair: Pairing, males: Sequence[str]) -> Row:
    cells = tuple(
        _here(now, pair, names) if sire == pair.sire else _other(now, names, pair.dam, sire) for sire in males
    )
    return Row(names.link(pair.dam), cells, _other(now, names, pair.dam, ""))


def _here(now: Now, pair: Pairing, names: Names) -> Cell:
    said = f"{names.short(pair.dam)} goes with {names.short(pair.sire)}: {in_100(pair.chance)}"
    project = next((one.name for one in now.found.inp.projects if one.id == pair.project), "no project")
    return Cell(in_100(pair.chance), said, is_here=True, note=f"{project}{', fixed' if pair.locked else ''}")


def _other(now: Now, names: Names, dam: str, sire: str) -> Cell:
    change, then = now.moved(dam, sire)
    against = now.breaks(then)
    whom = f"{names.short(dam)} with {names.short(sire)}" if sire else f"{names.short(dam)} with nobody"
    said = f"{whom} {cost(change)}{', against a limit' if against else ''}"
    address = f"{now.asked.moved(dam, sire).address}#moved"
    return Cell(difference(change), said, address, is_against=bool(against), note="against a limit" if against else "")


def moves_told(now: Now, names: Names) -> Iterator[str]:
    """The changes made by hand, in words."""
    for one in now.asked.moves:
        yield _told(one, names)


def _told(move: Move, names: Names) -> str:
    if not move.sire:
        return f"{names.label(move.dam)} is left out."
    return f"{names.label(move.dam)} goes with {names.label(move.sire)}."
