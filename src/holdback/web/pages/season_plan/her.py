"""Who else could go to a female, and what each choice costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString

from holdback.web.pages.season.names import Names
from holdback.web.pages.season_plan.board import Now, what_for
from holdback.web.pages.season_plan.words import cost, in_100

_SHOWN = 6
"""Males for a female that are shown at once."""


@dataclass(frozen=True, slots=True)
class OtherMale:
    """A male that a female could be put to: what it changes, for which project, and what stands against it."""

    who: SafeString
    change: float
    words: str
    project: str
    chance: str
    against: tuple[str, ...]
    address: str


@dataclass(frozen=True, slots=True)
class ForHer:
    """Who else could go to a female.

    Parameters
    ----------
    who : safe mark-up
        The female.
    name : str
        What she is called.
    sire : str
        Her male as it stands; empty for nobody.
    always : tuple of str
        What stands against every male.
    males, more : tuple of OtherMale
        Those who serve a project with her, what costs least first, and what breaks a limit last; those after the first
        few.
    n_useless : int
        Males with whom no project gains.
    without : OtherMale or None
        What leaving her out changes; None where she is out.
    """

    who: SafeString
    name: str
    sire: str
    always: tuple[str, ...]
    males: tuple[OtherMale, ...]
    more: tuple[OtherMale, ...]
    n_useless: int
    without: OtherMale | None


def for_her(now: Now, names: Names) -> ForHer | None:
    """Who else could go to the female that the address asks for; None where it asks for none of the plan."""
    dam, inp = now.asked.her, now.found.inp
    if dam not in inp.females:
        return None
    sire = next((one.sire for one in now.state.pairings if one.dam == dam), "")
    others = [_male(now, names, dam, one) for one in inp.males if one != sire]
    useful = [one for one in others if one.project]
    always = _always(useful)
    useful = [replace(one, against=tuple(each for each in one.against if each not in always)) for one in useful]
    useful.sort(key=lambda one: (bool(one.against), -round(one.change, 6)))
    return ForHer(
        names.link(dam),
        names.short(dam),
        names.label(sire) if sire else "",
        tuple(always),
        tuple(useful[:_SHOWN]),
        tuple(useful[_SHOWN:]),
        len(others) - len(useful),
        _male(now, names, dam, "") if sire else None,
    )


def _male(now: Now, names: Names, dam: str, sire: str) -> OtherMale:
    change, then = now.moved(dam, sire)
    pair = next((one for one in then.pairings if one.dam == dam), None)
    serves = pair is not None and pair.project != "" and pair.chance > 0
    return OtherMale(
        names.link(sire) if sire else SafeString("Nobody"),
        change,
        cost(change),
        what_for(now.found, pair) if pair is not None and serves else "",
        in_100(pair.chance) if pair is not None and serves else "",
        tuple(now.breaks(then)),
        f"{now.asked.moved(dam, sire).address}#moved",
    )


def _always(males: Sequence[OtherMale]) -> list[str]:
    """What stands against every one of several males."""
    if len(males) < 2:
        return []
    return [each for each in males[0].against if all(each in one.against for one in males)]
