"""What stands on the labels, and how many fit on a page."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from holdback.collection.model import PartialDate, Sex
from holdback.web.pages.labels.codes import code_address, drawn
from holdback.web.pages.wording import day
from holdback.web.records.models import Animal, Clutch, Place


@dataclass(frozen=True, slots=True)
class Size:
    """A size of labels.

    Parameters
    ----------
    word : str
        Its name.
    about : str
        In words for the keeper.
    across, down : int
        Labels in a row, and rows, on a page of A4 (the sizes in millimetre stand in labels.css).
    """

    word: str
    about: str
    across: int
    down: int

    @property
    def per_page(self) -> int:
        """Labels on a page."""
        return self.across * self.down


SIZES = {
    "small": Size("small", "47 × 25 mm, 44 a page", 4, 11),
    "large": Size("large", "95 × 55 mm, 10 a page", 2, 5),
}


@dataclass(frozen=True, slots=True)
class Label:
    """One label.

    Parameters
    ----------
    title : str
        The name, or what it is.
    lines : tuple of str
        What stands below it.
    address : str
        What the code holds.
    code : SafeString
        The code, drawn.
    """

    title: str
    lines: tuple[str, ...]
    address: str
    code: SafeString


def _label(base: str, key: uuid.UUID, title: str, lines: Iterable[str]) -> Label:
    address = code_address(base, key)
    return Label(title, tuple(line for line in lines if line), address, drawn(address))


def of_animal(animal: Animal, base: str) -> Label:
    """Name, id, sex and hatch year."""
    year = f"hatched {animal.hatched[:4]}" if animal.hatched else ""
    sex = animal.sex if animal.sex != Sex.UNKNOWN else "sex not known"
    tag = animal.tag if animal.name else ""
    return _label(base, animal.pk, animal.name or animal.tag, [tag, ", ".join(filter(None, (sex, year)))])


def of_clutch(clutch: Clutch, base: str) -> Label:
    """Id, dam, day of laying and number of eggs."""
    laid = f"laid {day(PartialDate.parse(clutch.laid))}" if clutch.laid else ""
    dam = f"of {clutch.dam.name or clutch.dam.tag}" if clutch.dam else ""
    eggs = f"{clutch.eggs} eggs" if clutch.eggs else ""
    return _label(base, clutch.pk, f"Clutch {clutch.tag}", [dam, ", ".join(filter(None, (laid, eggs)))])


def of_place(place: Place, base: str, larger: str) -> Label:
    """Name, and what it stands in."""
    kind, name = place.kind, place.name
    title = name if not kind or kind.split()[-1].casefold() in name.casefold() else f"{kind} {name}"
    return _label(base, place.pk, title[:1].upper() + title[1:], [larger])


def pages_of(labels: Sequence[Label], size: Size) -> list[Sequence[Label]]:
    """Labels page by page."""
    return [labels[start : start + size.per_page] for start in range(0, len(labels), size.per_page)]
