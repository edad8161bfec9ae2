"""Move an animal by two taps: the animal, then the tub."""

from __future__ import annotations

import datetime as dt
import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from holdback.errors import Fault, RecordError
from holdback.web.pages.keeper import writer
from holdback.web.pages.places.tree import Node, Tree
from holdback.web.pages.places.views import ROOM
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.views.animal import animal_or_404
from holdback.web.records import services
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Stay

OUT = "out"
"""Stands for no place."""


@require_http_methods(["GET", "POST"])
def move(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Choose a tub for an animal; a free one, one to share, one to swap with, or none."""
    animal = animal_or_404(key)
    tree = Tree.now()
    here = tree.where.get(animal.pk)
    near = _near(tree, request.GET.get("near", ""), here)
    faults: tuple[Fault, ...] = ()
    on = request.POST.get("on", "").strip()
    if request.method == "POST":
        try:
            said = _move(tree, animal, request.POST, on)
        except RecordError as error:
            faults = error.faults
        else:
            batch = said.pop("batch")
            add_toast(request, said["text"], undo=reverse("pages:undo", args=[batch]) if batch else "")
            return redirect(reverse("pages:place", args=[near.key]) if near else reverse("pages:places"))
    racks = tree.racks()
    close_by = next((one for one in racks if near and near in one[0].chain), None)
    others = [one for one in racks if one is not close_by]
    context = {
        "room": ROOM,
        "animal": animal,
        "here": here,
        "near": near,
        "close_by": close_by,
        "free": [tub for _, tubs in others for tub in tubs if not tub.stays],
        "others": others,
        "on": on or today().isoformat(),
        "latest": today().isoformat(),
        "faults": faults,
    }
    return render(request, "pages/place_move.html", context, status=422 if faults else 200)


def _near(tree: Tree, text: str, here: Node | None) -> Node | None:
    """Place that is shown first and gone back to: the one asked for, else the rack that the animal is in."""
    try:
        return tree.nodes.get(uuid.UUID(text)) or here
    except ValueError:
        return (here.larger or here) if here else None


def _move(tree: Tree, animal: Animal, given: dict[str, str], on: str) -> dict[str, str]:
    """Do what a button says; the words for it and the batch that takes it back."""
    day = _day(on)
    batch = uuid.uuid4()
    who, called = writer(), animal.name or animal.tag
    if given.get("swap"):
        other = _occupant(tree, given["swap"])
        services.swap_animals(animal, other, who=who, on=day, batch=batch)
        return {"text": f"{called} and {other.name or other.tag} changed places.", "batch": str(batch)}
    if given.get("to") == OUT:
        services.move_animal(animal, who=who, place=None, on=day, batch=batch)
        return {"text": f"{called} is in no tub now.", "batch": str(batch)}
    node = _target(tree, given.get("to", ""))
    before = Stay.objects.filter(animal=animal, until__isnull=True).values_list("place_id", flat=True).first()
    services.move_animal(animal, who=who, place=node.place, on=day, batch=batch)
    if before == node.key:
        return {"text": f"{called} is in {node.said} already.", "batch": ""}
    return {"text": f"{called} is in {node.said} now.", "batch": str(batch)}


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text) if text else today()
    except ValueError:
        hint = "Write it as 2026-05-14."
        raise RecordError(Fault("REC-012", f"{text!r} is no date.", hint, field="on", value=text)) from None


def _target(tree: Tree, text: str) -> Node:
    try:
        return tree.nodes[uuid.UUID(text)]
    except (ValueError, KeyError):
        what = "that place is not on record any more." if text else "no tub was chosen."
        raise RecordError(Fault("SEA-334", what, "Choose one of the tubs shown.", field="to")) from None


def _occupant(tree: Tree, text: str) -> Animal:
    """Animal of this key that is in some tub."""
    for node in tree.nodes.values():
        for stay in node.stays:
            if str(stay.animal_id) == text:
                return stay.animal
    what = "the other animal is in no tub any more."
    raise RecordError(Fault("SEA-334", what, "Look again who is where, and choose once more.", field="swap"))
