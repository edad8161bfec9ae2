"""The records as tables."""

from __future__ import annotations

from holdback.web.records.models.animals import Animal, AnimalName, SexDetermination
from holdback.web.records.models.base import (
    ANIMALS,
    CATALOGUE,
    PHOTOS,
    PLACES,
    PROJECTS,
    READINGS,
    SCOPES,
    SETTINGS,
    PartialDateField,
    Record,
)
from holdback.web.records.models.catalogue import GeneChange
from holdback.web.records.models.evidence import Claim, LineClaim, Look
from holdback.web.records.models.log import Change, Revision
from holdback.web.records.models.origins import PlaceOfOrigin
from holdback.web.records.models.parentage import Clutch, Egg, EggLook, Parentage
from holdback.web.records.models.photos import Photo, PhotoMarks
from holdback.web.records.models.places import Place, Stay, Warmth
from holdback.web.records.models.projects import Decision, PlanKept, PlannedPairing, Project, ProjectAnimal
from holdback.web.records.models.readings import Mating, Measurement, Observation
from holdback.web.records.models.season import CalendarItem, Entry, Setting

__all__ = [
    "ANIMALS",
    "CATALOGUE",
    "PHOTOS",
    "PLACES",
    "PROJECTS",
    "READINGS",
    "SCOPES",
    "SETTINGS",
    "Animal",
    "AnimalName",
    "CalendarItem",
    "Change",
    "Claim",
    "Clutch",
    "Decision",
    "Egg",
    "EggLook",
    "Entry",
    "GeneChange",
    "LineClaim",
    "Look",
    "Mating",
    "Measurement",
    "Observation",
    "Parentage",
    "PartialDateField",
    "Photo",
    "PhotoMarks",
    "Place",
    "PlaceOfOrigin",
    "PlanKept",
    "PlannedPairing",
    "Project",
    "ProjectAnimal",
    "Record",
    "Revision",
    "Setting",
    "SexDetermination",
    "Stay",
    "Warmth",
]
