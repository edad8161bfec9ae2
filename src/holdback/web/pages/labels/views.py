"""The sheet of labels, and the short address that a label leads to."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from holdback.web.pages.labels.chosen import MOST, chosen
from holdback.web.pages.labels.codes import base_address, is_only_here
from holdback.web.pages.labels.sheet import SIZES, Label, of_animal, of_clutch, of_place, pages_of
from holdback.web.pages.places.tree import Tree
from holdback.web.records.models import Animal, Clutch
from holdback.web.records.own_rules import own_rules
from holdback.web.records.short_codes import Found, find_by_code


@require_safe
def labels(request: HttpRequest) -> HttpResponse:
    """Labels as asked for, or what can be asked for."""
    tree = Tree.now()
    asked = chosen(request.GET.dict(), tree)
    base = base_address(own_rules(), request.build_absolute_uri("/"))
    size = SIZES.get(request.GET.get("size", ""), SIZES["large"])
    made: list[Label] = []
    if asked.count <= MOST:
        made += [of_animal(one, base) for one in asked.animals]
        made += [of_clutch(one, base) for one in asked.clutches]
        made += [of_place(one.place, base, one.larger.whole if one.larger else "") for one in asked.nodes]
    context = {
        "room": "Collection",
        "asked": asked,
        "pages": pages_of(made, size),
        "size": size,
        "sizes": SIZES.values(),
        "kept": [(name, value) for name, value in request.GET.items() if name != "size"],
        "base": base,
        "is_only_here": is_only_here(base),
        "too_many": asked.count > MOST,
        "racks": [rack for rack, _ in tree.racks()],
        "incubators": [node for top in tree.tops for node in top.below() if node.is_for_eggs and not node.place.closed],
        "clutches": Clutch.objects.filter(removed_at__isnull=True).order_by("-laid_first")[:12],
    }
    return render(request, "pages/labels.html", context)


@require_safe
def by_code(request: HttpRequest, code: str) -> HttpResponse:
    """Go to what a label is of."""
    found = find_by_code(code)
    if found is None:
        return render(request, "pages/label_unknown.html", {"room": "Collection", "code": code[:40]}, status=404)
    return redirect(address_of(found))


def address_of(found: Found) -> str:
    """Page of what a label is of."""
    if isinstance(found, Animal):
        return reverse("pages:animal", args=[found.pk])
    if isinstance(found, Clutch):
        return reverse("pages:clutch", args=[found.tag])
    return reverse("pages:place", args=[found.pk])
