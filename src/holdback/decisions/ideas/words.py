"""Sentences of ideas, in a breeder's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from holdback.decisions.ideas.carried import Animal, is_recessive
from holdback.decisions.ideas.phrases import capital, listed, of_young
from holdback.decisions.ideas.scoring import TagMatch
from holdback.species.model import Ease, Mark

_BRINGS: Mapping[str, str] = {
    "brightens": "brighter colour",
    "darkens": "darker colour",
    "lightens": "lighter colour",
    "high contrast": "contrast",
    "oranges": "orange",
    "yellows": "yellow",
    "reds": "red",
    "purples": "purple",
    "greys": "grey",
    "bands": "bands",
    "stripes": "a stripe",
    "speckles": "speckle",
    "flames": "flames",
    "clean sides": "clean sides",
    "white patches": "white",
    "breaks pattern": "a broken pattern",
    "reduces pattern": "less pattern",
    "fades the head": "a pale head",
}
"""What a gene with a tag brings; a tag that is not here stands as it is."""

_HAS: Mapping[str, str] = {
    "brightens": "its bright colour",
    "darkens": "its dark colour",
    "lightens": "its light colour",
    "reds": "its red",
    "oranges": "its orange",
    "yellows": "its yellow",
    "greys": "its grey",
    "bands": "its bands",
    "stripes": "its stripe",
    "speckles": "its speckle",
    "white patches": "its white",
    "breaks pattern": "its broken pattern",
    "reduces pattern": "its open pattern",
    "removes black": "its colour without black",
}


def brings(tag: str) -> str:
    """What a gene with a tag brings, in words."""
    return _BRINGS.get(tag, tag)


def of_tags(tags: Sequence[TagMatch]) -> tuple[str, ...]:
    """One sentence for each thing that a gene brings, the weightiest first."""
    by_tag: dict[str, list[str]] = {}
    for match in sorted(tags, key=lambda match: -match.weight):
        by_tag.setdefault(match.brings, []).append(_HAS.get(match.has, f"its {match.has}"))
    return tuple(f"{capital(brings(tag))} {_go(tag)} well with {listed(has)}." for tag, has in by_tag.items())


def of_gene(allele: str, animal: Animal) -> tuple[str, ...]:
    """What should be known of a gene that is brought: hard to see, linked to sex, from memory."""
    entry, locus = animal.catalogue.alleles[allele], animal.catalogue.locus_of(allele)
    said = []
    if entry.ease_one is Ease.HARD and not is_recessive(allele, animal.catalogue):
        said.append(f"{entry.name} is hard to see in one copy, and often taken for another; tell it with care.")
    if locus.sex_linkage:
        own = "male" if animal.catalogue.sex_system == "XY" else "female"
        said.append(f"{entry.name} is linked to sex: a {own} hands it mostly to sons, or mostly to daughters.")
    if entry.mark is Mark.MEMORY:
        said.append(f"How {entry.name} is inherited is from memory, unchecked.")
    return tuple(said)


def white_young(look: str, chance: float) -> str:
    """How many young hide their genes under a look."""
    return f"{capital(of_young(chance))} will be {look}, which hides every other gene."


def _go(tag: str) -> str:
    return "go" if tag in {"bands", "flames", "clean sides"} else "goes"
