"""Find an animal or a gene by typing: the page, and the offers under a field."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.bridge import catalogue_of_records
from holdback.collection.model import Sex
from holdback.species.catalogue import Catalogue
from holdback.species.model import Allele
from holdback.web.pages.fragments import wants_fragment
from holdback.web.pages.readings import ReadBack, read_back
from holdback.web.records.models import Animal
from holdback.web.records.queries import find_animals

OFFERS = 8
"""Animals offered under a field."""


@require_safe
def find(request: HttpRequest) -> HttpResponse:
    """Animals and genes that fit what is typed."""
    text = request.GET.get("text", "").strip()
    animals = list(find_animals(text)[: 3 * OFFERS + 1]) if text else []
    context = {
        "text": text,
        "animals": animals[: 3 * OFFERS],
        "has_more": len(animals) > 3 * OFFERS,
        "genes": genes_named(text, catalogue_of_records())[: 2 * OFFERS] if text else [],
    }
    name = "pages/parts/found.html" if wants_fragment(request) else "pages/find.html"
    return render(request, name, context)


@require_safe
def parent_choices(request: HttpRequest) -> HttpResponse:
    """What to offer under the field of one parent ("sire", "dam" or "sires"), and what its text reads as."""
    side = request.GET.get("side", "")
    side = side if side in {"dam", "sires"} else "sire"
    return render(request, "pages/parts/offers.html", offers(request.GET.get(side, ""), side))


def offers(text: str, side: str) -> dict[str, object]:
    """Animals of the fitting sex that a text may mean, and the text read as genes.

    Parameters
    ----------
    text : str
        As typed.
    side : str
        "sire", "dam" or "sires"; also the id of the field.
    """
    wanted = text.strip()
    other = Sex.MALE if side == "dam" else Sex.FEMALE
    found = find_animals(wanted).exclude(sex=other.value) if wanted else Animal.objects.none()
    # Tag and name first: a word in somebody's notes must not push the animal itself off the list.
    near = sorted(found[: 8 * OFFERS], key=lambda animal: _distance(animal, wanted.casefold()))[:OFFERS]
    is_pair = side != "sires"  # a parent on record is an animal, never typed genes
    back: ReadBack | None = read_back(wanted, catalogue_of_records()) if wanted and is_pair else None
    is_genes = back is not None and bool(back.genes) and not back.unread
    return {"side": side, "text": wanted, "animals": near, "back": back if is_genes else None}


def _distance(animal: Animal, text: str) -> tuple[int, str]:
    names = (animal.tag.casefold(), animal.name.casefold())
    if text in names:
        return 0, animal.tag
    if any(name.startswith(text) for name in names):
        return 1, animal.tag
    return (2 if any(text in name for name in names) else 3), animal.tag


def genes_named(text: str, catalogue: Catalogue) -> list[Allele]:
    """Genes whose name or other spelling holds the text, those that begin with it first."""
    wanted = text.casefold().strip()
    found = []
    for allele in catalogue.alleles.values():
        names = [name.casefold() for name in (allele.name, allele.two_copies_name, *allele.aliases) if name]
        if any(wanted in name for name in names):
            found.append((not names[0].startswith(wanted), allele.name, allele))
    return [allele for _, _, allele in sorted(found, key=lambda each: each[:2])]
