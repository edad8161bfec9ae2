"""The list of animals: what can be asked of it, and what each line says.

Every question is a plain address, so a filter is kept by keeping the address. A page of the list costs the same number
of queries however many animals there are.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.core.paginator import Page, Paginator
from django.db.models import F, Q, QuerySet

from holdback.collection.event_kinds import BORROWED, CO_OWNED, DIED, KINDS, LENT, RETURNED, SOLD, kind_of
from holdback.collection.model import Origin, PartialDate, Sex
from holdback.species.catalogue import Catalogue
from holdback.web.pages.gene_words import allele_named, claims_in_words, looks_in_words
from holdback.web.pages.weights import last_weights
from holdback.web.pages.wording import day, quantity
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Claim, LineClaim, Look, Observation

PAGE_SIZE = 50
SORTS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "tag": ("Tag", ("tag",)),
    "name": ("Name", ("name", "tag")),
    "young": ("Youngest first", ("-hatched_first", "tag")),
    "old": ("Oldest first", ("hatched_first", "tag")),
    "sex": ("Sex", ("sex", "tag")),
    "status": ("Status", ("status", "tag")),
}
"""Orders of the list: what each is called, and the columns."""


WHOSE = (LENT, BORROWED, CO_OWNED)
"""Animals that others have to do with, as the list can be asked for them."""

_SAID = (*WHOSE, RETURNED, SOLD, DIED)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of the list; empty text asks nothing.

    Parameters
    ----------
    text : str
        Words that must all occur in the tag, name, genes, status or notes.
    sex, status, year, shows, carries, origin, line, whose : str
        As in the form; `shows` and `carries` are gene names, `whose` is one of `WHOSE`.
    sort : str
        A key of `SORTS`.
    """

    text: str = ""
    sex: str = ""
    status: str = ""
    year: str = ""
    shows: str = ""
    carries: str = ""
    origin: str = ""
    line: str = ""
    whose: str = ""
    sort: str = "tag"

    @classmethod
    def of(cls, asked: Mapping[str, str]) -> Question:
        """Question from the parameters of an address; what is not understood is left out."""
        known = {name: (asked.get(name) or "").strip() for name in cls.__dataclass_fields__}
        known["sort"] = known["sort"] if known["sort"] in SORTS else "tag"
        known["year"] = known["year"] if len(known["year"]) == 4 and known["year"].isdecimal() else ""
        return cls(**known)

    def address(self, **changed: str) -> str:
        """Query string of this question with some parts changed; empty parts are left out."""
        parts = {name: getattr(self, name) for name in self.__dataclass_fields__} | changed
        if parts["sort"] == "tag":
            parts["sort"] = ""
        return urlencode({name: value for name, value in parts.items() if value})

    @property
    def is_empty(self) -> bool:
        """Whether everything is asked for."""
        return not self.address(sort="")


def animals_asked(question: Question, catalogue: Catalogue) -> QuerySet[Animal]:
    """Animals that answer a question, in its order; removed ones never do."""
    found = Animal.objects.filter(removed_at__isnull=True)
    for word in question.text.casefold().split():
        found = found.filter(search_text__contains=word)
    exact = {"sex": question.sex, "status": question.status, "origin": question.origin}
    found = found.filter(**{name: value for name, value in exact.items() if value})
    if question.year:
        found = found.filter(hatched__startswith=question.year)
    if question.line:
        found = found.filter(pk__in=LineClaim.objects.filter(line=question.line, share_high__gt=0).values("animal"))
    if question.whose:
        found = found.filter(pk__in=shared_with_others(today()).get(question.whose, ()))
    if question.shows:
        found = found.filter(pk__in=_showing(allele_named(question.shows, catalogue)).values("animal"))
    if question.carries:
        allele = allele_named(question.carries, catalogue)
        said = Claim.objects.filter(allele=allele, none__lt=1).values("animal")
        found = found.filter(Q(pk__in=said) | Q(pk__in=_showing(allele).values("animal")))
    columns = SORTS[question.sort][1]
    # An unknown hatch date comes last in either order.
    return found.order_by(
        *(
            F(name.removeprefix("-")).desc(nulls_last=True) if name.startswith("-") else F(name).asc(nulls_last=True)
            for name in columns
        )
    )


def shared_with_others(on: dt.date) -> dict[str, set[uuid.UUID]]:
    """Keys of the animals that are lent out, borrowed or owned in part by others on a day; one query."""
    words = (*(word for kind in _SAID for word in (kind, *KINDS[kind].also)),)
    rows = Observation.objects.filter(kind__in=words, date__lte=on.isoformat()).order_by("date", "id")
    found: dict[str, set[uuid.UUID]] = {kind: set() for kind in WHOSE}
    for animal, text, until in rows.values_list("animal_id", "kind", "until"):
        kind = kind_of(text)
        is_over = bool(until) and PartialDate.parse(until).latest < on
        if kind == CO_OWNED:
            found[kind] |= set() if is_over else {animal}
            continue
        found[LENT].discard(animal)
        found[BORROWED].discard(animal)
        if kind in WHOSE:
            found[kind].add(animal)
    return found


def _showing(allele: str) -> QuerySet[Look]:
    return Look.objects.filter(allele=allele, copies__gt=0)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list."""

    animal: Animal
    hatched: str
    shows: str
    carries: str
    weight: str
    weighed: str


@dataclass(frozen=True, slots=True)
class Roster:
    """One page of the list with its counts and what can be chosen."""

    question: Question
    page: Page[Animal]
    lines: tuple[Line, ...]
    total: int


def roster(question: Question, catalogue: Catalogue, *, page: str = "1") -> Roster:
    """One page of the list.

    Parameters
    ----------
    question : Question
        What is asked.
    catalogue : Catalogue
        Names of the genes.
    page : str
        Number of the page as in the address; a number out of range gives the nearest.
    """
    sheet = Paginator(animals_asked(question, catalogue), PAGE_SIZE).get_page(page)
    animals = list(sheet.object_list)
    total = sheet.paginator.count if question.is_empty else Animal.objects.filter(removed_at__isnull=True).count()
    return Roster(question, sheet, _lines(animals, catalogue), total)


def _lines(animals: list[Animal], catalogue: Catalogue) -> tuple[Line, ...]:
    keys = [animal.pk for animal in animals]
    looks: dict[object, list[Look]] = {}
    for look in Look.objects.filter(animal__in=keys):
        looks.setdefault(look.animal_id, []).append(look)
    claims: dict[object, list[Claim]] = {}
    for claim in Claim.objects.filter(animal__in=keys, none__lt=1):
        claims.setdefault(claim.animal_id, []).append(claim)
    weights = last_weights(keys)
    return tuple(
        Line(
            animal=animal,
            hatched=day(animal.hatch_date),
            shows=looks_in_words(looks.get(animal.pk, []), catalogue),
            carries=claims_in_words(_unseen(claims.get(animal.pk, []), looks.get(animal.pk, [])), catalogue),
            weight=quantity(reading.value, reading.unit, 1) if (reading := weights.get(animal.pk)) else "",
            weighed=day(PartialDate.parse(reading.date)) if reading else "",
        )
        for animal in animals
    )


def _unseen(claims: list[Claim], looks: list[Look]) -> list[Claim]:
    """Claims on genes that the animal does not show: what shows is said once."""
    shown = {look.allele for look in looks if look.copies}
    return [claim for claim in claims if claim.allele not in shown]


def choices() -> dict[str, tuple[str, ...]]:
    """What the filters can be set to: the words that occur in the records."""
    here = Animal.objects.filter(removed_at__isnull=True)
    statuses = here.exclude(status="").values_list("status", flat=True).distinct().order_by("status")
    years = here.exclude(hatched_first=None).dates("hatched_first", "year", order="DESC")
    lines = LineClaim.objects.values_list("line", flat=True).distinct().order_by("line")
    return {
        "sex": tuple(sex.value for sex in Sex),
        "status": tuple(statuses),
        "year": tuple(str(date.year) for date in years),
        "origin": tuple(origin.value for origin in Origin),
        "line": tuple(lines),
        "whose": WHOSE,
    }
