"""All places, one place, and the deeds on them."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from holdback.errors import Fault, RecordError
from holdback.web.pages.history import undo_address
from holdback.web.pages.keeper import writer
from holdback.web.pages.places.forms import (
    ChangeForm,
    IncubatorForm,
    PartsForm,
    PlaceForm,
    RackForm,
    RoomForm,
    names_of,
)
from holdback.web.pages.places.tree import Node, Tree
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.wording import counted
from holdback.web.records import services
from holdback.web.records.models import Clutch, Place, Stay
from holdback.web.records.room import INCUBATOR

ROOM = "Collection"
"""The room that these pages belong to."""
STAYS = 50
"""Stays of a place that its page shows."""


def node_or_404(tree: Tree, key: uuid.UUID) -> Node:
    """Place of the tree."""
    if key not in tree.nodes:
        raise Http404("there is no such place")
    return tree.nodes[key]


@require_safe
def places(request: HttpRequest) -> HttpResponse:
    """All places as a tree, and who is in none."""
    tree = Tree.now()
    used = [node for node in tree.tops if not node.place.closed]
    tubs = [tub for node in used for tub in node.tubs]
    context = {
        "room": ROOM,
        "tops": used,
        "closed": [node for node in tree.nodes.values() if node.place.closed],
        "loose": tree.without_place(),
        "tubs": tubs,
        "free": [tub for tub in tubs if not tub.stays],
    }
    return render(request, "pages/places.html", context)


@require_safe
def place(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """One place: who is in it, what is free, who was there."""
    return _place_page(request, key)


def _place_page(request: HttpRequest, key: uuid.UUID, faults: tuple[Fault, ...] = ()) -> HttpResponse:
    tree = Tree.now()
    node = node_or_404(tree, key)
    keys = [one.key for one in node.below()]
    stays = Stay.objects.filter(place__in=keys).select_related("animal", "place").order_by("-since", "-id")
    clutches: list[Clutch] = []
    if node.eggs:
        clutches = list(Clutch.objects.filter(egg_records__box__in=keys, closed__isnull=True).distinct())
    context = {
        "room": ROOM,
        "node": node,
        "chain": node.chain[:-1],
        "tubs": [one for one in node.tubs if one is not node],
        "inner": [one for one in node.in_use if not one.is_tub],
        "clutches": clutches,
        "stays": stays[:STAYS],
        "more": max(0, stays.count() - STAYS),
        "can_add": node.place.kind not in {"tub", "egg box", "box"} and not node.place.closed,
        "adds_boxes": node.place.kind == INCUBATOR,
        "faults": faults,
    }
    return render(request, "pages/place.html", context, status=422 if faults else 200)


_NEW: dict[str, tuple[type[PlaceForm], str]] = {
    "room": (RoomForm, "A room"),
    "rack": (RackForm, "A rack with its tubs"),
    "incubator": (IncubatorForm, "An incubator with its boxes"),
}


@require_http_methods(["GET", "POST"])
def new_place(request: HttpRequest, kind: str) -> HttpResponse:
    """Add a room, a rack with tubs, or an incubator with boxes."""
    if kind not in _NEW:
        raise Http404("there is no such kind of place")
    made, title = _NEW[kind]
    form = made(Tree.now(), request.POST or None, initial={"within": request.GET.get("within", "")})

    def make() -> str:
        found = _MAKERS[kind](form)
        parts = found.parts.count()
        word = "box,boxes" if kind == "incubator" else "tub,tubs"
        one, _, many = word.partition(",")
        add_toast(request, _added(found.name, counted(parts, one, many) if parts else ""), undo=undo_address(found))
        return reverse("pages:place", args=[found.pk])

    context = {"room": ROOM, "title": title, "back": reverse("pages:places")}
    return _kept(request, form, make, "pages/place_form.html", context)


def _added(name: str, parts: str) -> str:
    return f"{name} is kept{f', with {parts}' if parts else ''}."


def _make_room(form: PlaceForm) -> Place:
    said = form.cleaned_data
    return services.add_place(who=writer(), name=said["name"], kind="room", within=form.within_place())


def _make_rack(form: PlaceForm) -> Place:
    said = form.cleaned_data
    names = names_of(said["tubs"])
    return services.add_rack(who=writer(), name=said["name"], tubs=names, within=form.within_place())


def _make_incubator(form: PlaceForm) -> Place:
    said = form.cleaned_data
    names = names_of(said["tubs"])
    with services.deed("add incubator with boxes", who=writer()) as done:
        found = services.add_incubator(
            who=writer(), name=said["name"], capacity=said["capacity"], within=form.within_place(), batch=done.batch
        )
        if names:
            services.add_boxes(found, names, who=writer(), capacity=said["each"], batch=done.batch)
    return found


_MAKERS: dict[str, Callable[[PlaceForm], Place]] = {
    "room": _make_room,
    "rack": _make_rack,
    "incubator": _make_incubator,
}


@require_http_methods(["GET", "POST"])
def add_parts(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Add tubs to a rack, or boxes to an incubator."""
    node = node_or_404(Tree.now(), key)
    form = PartsForm(node, request.POST or None)
    is_incubator = node.place.kind == INCUBATOR

    def make() -> str:
        names = names_of(form.cleaned_data["tubs"])
        if is_incubator:
            made = services.add_boxes(node.place, names, who=writer(), capacity=form.cleaned_data["each"])
        else:
            made = services.add_tubs(node.place, names, who=writer())
        said = counted(len(made), "box", "boxes") if is_incubator else counted(len(made), "tub")
        add_toast(request, f"{said} added to {node.place.name}.", undo=undo_address(made[0]) if made else "")
        return reverse("pages:place", args=[key])

    title = f"More {'boxes' if is_incubator else 'tubs'} in {node.place.name}"
    context = {"room": ROOM, "title": title, "back": reverse("pages:place", args=[key])}
    return _kept(request, form, make, "pages/place_form.html", context)


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Rename a place, say what it is and how many eggs it takes."""
    tree = Tree.now()
    node = node_or_404(tree, key)
    one = node.place
    initial = {"name": one.name, "kind": one.kind, "within": str(one.within_id or ""), "capacity": one.capacity}
    form = ChangeForm(node, tree, request.POST or None, initial=initial)

    def make() -> str:
        said = form.cleaned_data
        room: dict[str, Any] = {"capacity": said["capacity"]} if "capacity" in form.fields else {}
        kept = services.change_place(
            one, who=writer(), name=said["name"], kind=said["kind"], within=form.within_place(), **room
        )
        add_toast(request, f"{kept.name} is kept so.", undo=undo_address(kept))
        return reverse("pages:place", args=[key])

    title = f"Change {one.name}"
    context = {"room": ROOM, "title": title, "back": reverse("pages:place", args=[key]), "closes": node}
    return _kept(request, form, make, "pages/place_form.html", context)


@require_POST
def close(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take a place out of use."""
    return _opened_or_closed(request, key, services.close_place, "out of use")


@require_POST
def open_again(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Take a place into use again."""
    return _opened_or_closed(request, key, services.open_place_again, "in use again")


def _opened_or_closed(request: HttpRequest, key: uuid.UUID, act: Callable[..., Place], words: str) -> HttpResponse:
    node = node_or_404(Tree.now(), key)
    try:
        kept = act(node.place, who=writer())
    except RecordError as error:
        return _place_page(request, key, error.faults)
    add_toast(request, f"{kept.name} is {words}.", undo=undo_address(kept))
    return redirect(reverse("pages:place", args=[key]))


def _kept(
    request: HttpRequest, form: Any, make: Callable[[], str], template: str, context: dict[str, Any]
) -> HttpResponse:
    """The form, or the deed and the way on."""
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            return redirect(make())
        except RecordError as error:
            faults = form.take(error)
    context |= {"form": form, "faults": faults}
    return render(request, template, context, status=422 if request.method == "POST" else 200)
