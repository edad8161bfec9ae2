"""A parent of a cross, written in trade shorthand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.errors import Fault, ShorthandError
from holdback.heredity.shorthand.codes import FAULT
from holdback.heredity.shorthand.reader import read
from holdback.heredity.shorthand.reading import Reading

if TYPE_CHECKING:
    from holdback.heredity.genotype import GenotypeBelief
    from holdback.species.catalogue import Catalogue


def read_parent(text: str, catalogue: Catalogue, *, sex: Sex = Sex.UNKNOWN) -> tuple[GenotypeBelief, Reading]:
    """Genotype beliefs of a parent, and the reading they come from.

    Parameters
    ----------
    text : str
        Trade shorthand of one animal.
    catalogue : Catalogue
        Species.
    sex : Sex
        Sex that the parent must have; unknown where any will do. A sex in the text wins over an unknown one.

    Returns
    -------
    GenotypeBelief
        With the sex known from either side.
    Reading
        Warnings and unread words are for the caller to show.

    Raises
    ------
    ShorthandError
        SHO-201 where the text contradicts itself (three alleles of one locus, two animals), SHO-202 where nothing in
        it can be read, SHO-203 where its sex is not the one asked for, SHO-204 where it counts several animals of
        both sexes; all faults together.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> belief, _ = read_parent("66% het Clown", load(), sex=Sex.FEMALE)
    >>> round(belief.copies("clown", "clown")[1], 4), str(belief.sex)
    (0.6667, 'female')
    """
    reading = read(text, catalogue)
    faults = [
        Fault("SHO-201", warning.message, "Correct the text and try again.", value=text)
        for warning in reading.warnings
        if warning.level == FAULT
    ]
    if not reading.genes and not reading.status and reading.sex is Sex.UNKNOWN and reading.counts is None:
        hint = next((f"Did you mean {part.suggestion}?" for part in reading.unread if part.suggestion), "")
        hint = hint or 'Write genes as in "Pastel Clown 66% het Pied", or "normal".'
        faults.append(Fault("SHO-202", f"Nothing in {text!r} can be read as a parent.", hint, value=text))
    if Sex.UNKNOWN not in (sex, reading.sex) and sex is not reading.sex:
        what = f"{text!r} is {reading.sex}, but stands as the {'sire' if sex is Sex.MALE else 'dam'}."
        faults.append(Fault("SHO-203", what, "Swap the two, or correct the sex.", value=text))
    if reading.counts and reading.counts.total > 1 and reading.sex is Sex.UNKNOWN:
        what = f"{reading.counts} counts several animals; a parent is one."
        faults.append(Fault("SHO-204", what, "Give one animal.", value=text))
    if faults:
        raise ShorthandError(faults)
    belief = reading.belief(catalogue)
    return (replace(belief, sex=sex) if reading.sex is Sex.UNKNOWN else belief), reading
