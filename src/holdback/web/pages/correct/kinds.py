"""What can be corrected of who an animal is: sex, id, parents."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from holdback.collection.model import Sex
from holdback.web.pages.family import sires_written
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.pages.log.fields import AnimalField, DayField, offer_animals
from holdback.web.pages.questions import How
from holdback.web.records import services
from holdback.web.records.models import Animal

METHODS = ("probed", "popped", "by offspring", "by behaviour")
Said = Mapping[str, Any]


class SexForm(PlainForm):
    """The sex as it was found."""

    sex = choice_field("It is", [(sex.value, sex.value) for sex in (Sex.FEMALE, Sex.MALE, Sex.UNKNOWN)], required=True)
    method = choice_field("How it was told", [("", "not said"), *((word, word) for word in METHODS)])
    on = DayField("When", required=False, help_text="May be left out.")
    names = {"date": "on"}


class IdForm(PlainForm):
    """Another id."""

    tag = text_field("Id", "Short, on the tub, never used twice among the living.", required=True)


class ParentsForm(PlainForm):
    """Who the parents are; candidate sires with their chances, or none at all."""

    dam = AnimalField("Dam", "Tag; empty: as the clutch says.", sex="female", required=False)
    sires = AnimalField(
        "Sire",
        "Tag; empty: as the clutch says. Two in question, with their chances: A7:0.8|B2:0.2. No sire at all: none.",
        sex="male",
        required=False,
    )
    clutch = text_field("Clutch", "Id of the clutch it hatched from; empty if none is on record.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer_animals(self)


def _sex(key: uuid.UUID, said: Said, how: How) -> None:
    day = dt.date.fromisoformat(said["on"]) if said["on"] else None
    services.correct_sex(
        Animal.objects.get(pk=key),
        who=how.who,
        sex=said["sex"],
        method=said["method"],
        on=day,
        sure=True,  # the matings that go are shown before
        batch=how.batch,
    )


def _tag(key: uuid.UUID, said: Said, how: How) -> None:
    services.correct_tag(Animal.objects.get(pk=key), who=how.who, tag=said["tag"], batch=how.batch)


def _parents(key: uuid.UUID, said: Said, how: How) -> None:
    one = Animal.objects.select_related("dam", "clutch").get(pk=key)
    services.correct_parents(
        one, who=how.who, dam=said["dam"], sires=said["sires"], clutch=said["clutch"], batch=how.batch
    )


@dataclass(frozen=True, slots=True)
class Correction:
    """One kind of correction.

    Parameters
    ----------
    key : str
        As the address names it.
    title, lede : str
        What the page says first.
    form : type of PlainForm
        What is typed.
    start : callable
        What stands in the form to begin with.
    write : callable
        Writes it on records that it loads itself.
    done : str
        What is said after it.
    """

    key: str
    title: str
    lede: str
    form: type[PlainForm]
    start: Callable[[Animal], dict[str, Any]]
    write: Callable[[uuid.UUID, Said, How], None]
    done: str


CORRECTIONS: Mapping[str, Correction] = MappingProxyType(
    {
        one.key: one
        for one in (
            Correction(
                "sex",
                "Which sex it is",
                "The last finding counts; earlier ones stay on record. Matings that cannot be by it are taken out.",
                SexForm,
                lambda animal: {"sex": animal.sex},
                _sex,
                "The sex is corrected.",
            ),
            Correction(
                "id",
                "Another id",
                "All that is on record goes along. Photos and labels that bear the old id do not change by themselves.",
                IdForm,
                lambda animal: {"tag": animal.tag},
                _tag,
                "The id is corrected.",
            ),
            Correction(
                "parents",
                "Who the parents are",
                "A parent left empty is that of its clutch; without a clutch it counts as not known. Say who is in "
                "question rather than guess: odds are worked out over all of them.",
                ParentsForm,
                lambda animal: {
                    "dam": animal.dam.tag if animal.dam else "",
                    "sires": sires_written(animal),
                    "clutch": animal.clutch.tag if animal.clutch else "",
                },
                _parents,
                "The parents are corrected.",
            ),
        )
    }
)
"""Every kind by its key."""


def plain_values(said: Mapping[str, Any]) -> dict[str, str]:
    """What a form holds as plain text, as a job and a session can keep it."""
    return {name: value.isoformat() if isinstance(value, dt.date) else value or "" for name, value in said.items()}
