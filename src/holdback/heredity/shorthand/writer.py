"""Trade text written from a reading or from genotype beliefs, so that reading it again says the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holdback.collection.model import Origin, Sex
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand.phrases import Phrases
from holdback.heredity.shorthand.reading import ReadGene, Reading, ReadLine
from holdback.heredity.shorthand.scanner import scanned
from holdback.heredity.shorthand.statements import genes_of
from holdback.heredity.shorthand.words import percent_of

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_ORIGIN_CODES = {
    Origin.CAPTIVE_BRED: "CB",
    Origin.CAPTIVE_HATCHED: "CH",
    Origin.FARM_BRED: "FB",
    Origin.WILD_CAUGHT: "WC",
}


def write(said: Reading | GenotypeBelief, catalogue: Catalogue) -> str:
    """Trade shorthand of an animal: sex, what is seen, hets with their chance, line, origin, weight, status.

    Parameters
    ----------
    said : Reading or GenotypeBelief
        What is to be written.
    catalogue : Catalogue
        Its species.

    Returns
    -------
    str
        `read` gives an equal reading, or a reading with an equal belief. Words that were not read stand at the end.

    Raises
    ------
    ShorthandError
        SHO-301 for each locus whose probabilities no trade notation can say.

    Examples
    --------
    >>> from holdback.heredity.shorthand import read
    >>> from holdback.species.catalogue import load
    >>> write(read("66% het pied clown 0.1 2x enchi", load()), load())
    '0.1 Super Enchi 66% het Piebald 66% het Clown'
    """
    phrases = Phrases(catalogue)
    if isinstance(said, GenotypeBelief):
        sex = "" if said.sex is Sex.UNKNOWN else str(said.sex)
        return " ".join(part for part in (sex, _genes(genes_of(said, catalogue), phrases)) if part)
    sex = str(said.counts) if said.counts else "" if said.sex is Sex.UNKNOWN else str(said.sex)
    genes = _genes(said.genes, phrases)
    rest = [*map(_line, said.lines), *_facts(said), *said.status, *_unread(said)]
    return ", ".join(part for part in (" ".join(part for part in (sex, genes) if part), *rest) if part)


def _genes(genes: tuple[ReadGene, ...], phrases: Phrases) -> str:
    """Gene phrases: shown genes first, hets last, a comma only where two would run into one name."""
    written = sorted(((phrases.of(gene), gene) for gene in genes), key=lambda pair: " het " in f" {pair[0]}")
    makers = {gene.locus: gene.maker for gene in genes if gene.maker}
    parts = []
    for phrase, gene in written:
        maker = makers.pop(gene.locus, "")
        short = {"male maker": "MM ", "female maker": "FM "}.get(maker, "")
        parts.append(short + phrase)
    text = ""
    for before, part in zip(["", *parts], parts, strict=False):
        runs_on = bool(before) and not _stays_apart(before, part, phrases.catalogue)
        text += part if not before else f"{',' if runs_on else ''} {part}"
    return text if _is_same(text, parts, phrases.catalogue) else ", ".join(parts)


def _stays_apart(before: str, after: str, catalogue: Catalogue) -> bool:
    return _is_same(f"{before} {after}", [before, after], catalogue)


def _is_same(text: str, parts: list[str], catalogue: Catalogue) -> bool:
    """True where the text is cut into the same tokens as its parts by themselves."""
    return _kinds(text, catalogue) == [kind for part in parts for kind in _kinds(part, catalogue)]


def _kinds(text: str, catalogue: Catalogue) -> list[tuple[str, str]]:
    return [(token.kind, token.text) for token in scanned(text, catalogue) if token.kind not in ("GAP", "SEP")]


def _line(line: ReadLine) -> str:
    return f"{line.name} line" if line.share is None else f"{percent_of(line.share)}% {line.name} line"


def _facts(reading: Reading) -> list[str]:
    facts = []
    if reading.origin in _ORIGIN_CODES:
        facts.append(_ORIGIN_CODES[reading.origin])
    if reading.hatched:
        facts.append(f"hatched {reading.hatched}")
    if reading.mass:
        from decimal import Decimal

        value = Decimal(repr(reading.mass[0])).normalize()
        facts.append(f"{value:f} {reading.mass[1]}")
    return facts


def _unread(reading: Reading) -> list[str]:
    """Unread words, a lone "het" last so that it does not take the others for its genes."""
    return sorted((part.text for part in reading.unread), key=lambda text: "het" in text.lower())
