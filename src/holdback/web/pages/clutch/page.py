"""What the page of a clutch says."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.urls import NoReverseMatch, reverse

from holdback.answers.season import Season
from holdback.bridge.season import season_of_records
from holdback.errors import Fault, HoldbackError
from holdback.web.pages.clutch import eggs as drawn_eggs
from holdback.web.pages.clutch import words
from holdback.web.pages.clutch.boxes import places_of_eggs
from holdback.web.pages.clutch.eggs import EggShown
from holdback.web.pages.clutch.forms import AsideForm, EggMassForm, LoggerForm, LookForm, LossForm, WarmthForm
from holdback.web.pages.clutch.numbers import number_rows
from holdback.web.pages.clutch.warmth import warmth_shown
from holdback.web.pages.size.clutch import hatchlings
from holdback.web.pages.size.parts import Part, asked_part
from holdback.web.records import services
from holdback.web.records.asking import is_question
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Clutch
from holdback.web.records.overlay import SPECIES
from holdback.web.records.queries import present_animals

_OF_EGG = frozenset({"look", "loss", "mass"})
"""Forms of the egg that is open."""


@dataclass(frozen=True, slots=True)
class Said:
    """What was just typed and did not go, to be shown again where it was typed.

    Parameters
    ----------
    at : str
        The form ("look", "loss", "box", "warmth", ...); empty where nothing was typed.
    egg : str
        Mark of the egg that is open.
    faults : tuple of Fault
        What belongs to no field.
    forms : mapping of str to form
        Forms with what was typed.
    is_pipping : bool
        Whether the list of eggs that may have pipped stands open.
    told : tuple of Fault
        Everything that was wrong, those at fields among it.
    """

    at: str = ""
    egg: str = ""
    faults: tuple[Fault, ...] = ()
    forms: Mapping[str, Any] = field(default_factory=dict)
    is_pipping: bool = False
    told: tuple[Fault, ...] = ()

    @property
    def asks(self) -> bool:
        """Whether the faults only ask."""
        return bool(self.faults) and all(is_question(fault) for fault in self.faults)

    @property
    def hints(self) -> tuple[str, ...]:
        """What to do about the faults, nothing said twice."""
        return tuple(dict.fromkeys(fault.hint for fault in self.faults))


@dataclass(frozen=True)
class Told:
    """What the season says of a clutch; empty with the faults where the records do not hold together."""

    season: Season | None
    faults: tuple[Fault, ...] = ()


def told_of(clutch: Clutch, day: dt.date) -> Told:
    """The working year that a clutch is seen in."""
    try:
        season = season_of_records(day, species=clutch.dam.species if clutch.dam else SPECIES)
        season.clutch(clutch.tag)
    except HoldbackError as error:
        return Told(None, error.faults)
    return Told(season)


def box_context(clutch: Clutch, said: Said) -> dict[str, Any]:
    """The box with the panel of the egg that is open."""
    day = today()
    eggs = drawn_eggs.eggs_shown(clutch)
    chosen = next((one for one in eggs if one.mark == said.egg), None)
    before, after = drawn_eggs.beside(eggs, chosen.mark) if chosen else (None, None)
    counted = services.tally(clutch)
    waiting = [one for one in eggs if one.is_waiting]
    start = {"state": chosen.state.value} if chosen and chosen.state in drawn_eggs.CHOICES else {}
    return {
        "clutch": clutch,
        "day": day,
        "eggs": eggs,
        "boxes": drawn_eggs.boxes_shown(eggs),
        "egg_key": drawn_eggs.key(),
        "waiting": waiting,
        "chosen": chosen,
        "told": chosen.told(day) if chosen else "",
        "before": before,
        "after": after,
        "tally": words.tally_words(clutch, counted),
        "may_close": counted.waiting == 0,
        "said": said,
        "loose": () if _is_open(clutch, chosen, said) else said.told,
        "places": places_of_eggs(),
        "look_form": said.forms.get("look") or LookForm(initial=start),
        "mass_form": said.forms.get("mass") or EggMassForm(initial={"mass_g": chosen.egg.mass_g if chosen else None}),
        "loss_form": said.forms.get("loss") or LossForm(),
    }


def page_context(clutch: Clutch, said: Said) -> dict[str, Any]:
    """All that the page says."""
    found = box_context(clutch, said)
    day = found["day"]
    known = told_of(clutch, day)
    places = found["places"]
    lies_in = next((str(one.egg.box_id) for one in found["eggs"] if one.egg.box_id), "")
    young = list(present_animals().filter(clutch=clutch).order_by("tag"))
    return found | {
        "room": "Season",
        "over": words.over_line(clutch, day),
        **_numbers(clutch, known, found["eggs"], n_young=len(young)),
        "warmth": warmth_shown(clutch, known.season) if known.season else None,
        "warmth_form": said.forms.get("warmth") or WarmthForm(places=places, initial={"place": lies_in, "unit": "C"}),
        "logger_form": said.forms.get("logger") or LoggerForm(places=places, initial={"logger_place": lies_in}),
        "aside_form": said.forms.get("aside") or AsideForm(initial={"reason": clutch.set_aside}),
        "sires": [row.sire for row in clutch.candidate_sires.all() if row.sire],
        "young": young,
        "size": _compared(clutch, young),
        "labels": _labels(clutch),
    }


def numbers_context(clutch: Clutch) -> dict[str, Any]:
    """The lede and the numbers, as they follow a look."""
    n_young = present_animals().filter(clutch=clutch).count()
    known = told_of(clutch, today())
    return {"clutch": clutch} | _numbers(clutch, known, drawn_eggs.eggs_shown(clutch), n_young=n_young)


def _numbers(clutch: Clutch, known: Told, eggs: list[EggShown], *, n_young: int) -> dict[str, Any]:
    outlook = known.season.clutch(clutch.tag) if known.season else None
    return {
        "lede": words.lede(clutch, eggs, outlook, today(), n_young=n_young),
        "faults": known.faults,
        "ledger": number_rows(known.season, clutch.tag) if known.season else [],
    }


def _is_open(clutch: Clutch, chosen: EggShown | None, said: Said) -> bool:
    """Whether the form that was typed into stands on the page, and can show its faults."""
    if said.at not in _OF_EGG:
        return said.at != "box" or not clutch.closed
    return chosen is not None and not clutch.closed and chosen.egg.animal is None


def _compared(clutch: Clutch, young: list[Animal]) -> Part[Any]:
    """The young set beside each other; nothing is worked out for a clutch that has none."""
    if not young:
        return Part()
    return asked_part(young[0].species, lambda sizes: hatchlings(sizes, clutch.tag))


def _labels(clutch: Clutch) -> str:
    """Address of the label of the box; empty where labels are not printed."""
    try:
        return f"{reverse('pages:labels')}?clutch={clutch.pk}"
    except NoReverseMatch:
        return ""
