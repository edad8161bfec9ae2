"""Forms for places."""

from __future__ import annotations

import uuid
from collections.abc import Iterable

from django import forms

from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.pages.places.tree import Node, Tree
from holdback.web.records.models import Place
from holdback.web.records.room import BOXES, INCUBATOR, TUB
from holdback.web.records.tub_names import tub_names

_RUNS = "Between commas; from a first to a last with two dots, as 3-A..3-F or 1..40."
_NUMBER = {"inputmode": "numeric"}
KINDS = (("", "not said"), *((word, word) for word in ("room", "rack", "tub", "shelf", "incubator", "egg box")))


def larger_places(tree: Tree, *, but: Iterable[uuid.UUID] = ()) -> list[tuple[str, str]]:
    """Choices of a larger place: those in use that are no tub and no box."""
    left_out = set(but)
    found = [("", "none")]
    for top in tree.tops:
        for node in top.below():
            if node.key not in left_out and not node.place.closed and node.place.kind not in {TUB, *BOXES}:
                found.append((str(node.key), node.whole))
    return found


class PlaceForm(PlainForm):
    """What all new places are asked for: a name, and what they stand in."""

    name = text_field("Name", required=True)
    within = choice_field("Stands in", [])

    def __init__(self, tree: Tree, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        self._tree = tree
        self.fields["within"].choices = larger_places(tree)  # type: ignore[attr-defined]  # a choice field

    def within_place(self) -> Place | None:
        """The larger place that was chosen."""
        key = self.cleaned_data.get("within")
        return self._tree.nodes[uuid.UUID(key)].place if key else None


class RoomForm(PlaceForm):
    """A room."""


class RackForm(PlaceForm):
    """A rack with its tubs."""

    tubs = text_field("Tubs", _RUNS)


class IncubatorForm(PlaceForm):
    """An incubator with its boxes."""

    capacity = forms.IntegerField(
        label="Places for eggs",
        required=False,
        help_text="In all; empty if the boxes say it.",
        widget=forms.TextInput(attrs=_NUMBER),
    )
    tubs = text_field("Boxes", _RUNS)
    each = forms.IntegerField(label="Eggs a box", required=False, widget=forms.TextInput(attrs=_NUMBER))


class PartsForm(PlainForm):
    """More tubs of a rack, or more boxes of an incubator."""

    tubs = text_field("Names", _RUNS, required=True)
    each = forms.IntegerField(label="Eggs a box", required=False, widget=forms.TextInput(attrs=_NUMBER))
    names = {"name": "tubs", "capacity": "each"}

    def __init__(self, node: Node, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)
        if node.place.kind != INCUBATOR:
            del self.fields["each"]


class ChangeForm(PlaceForm):
    """Name, kind, larger place and room of a place that is there."""

    kind = choice_field("What it is", [])
    capacity = forms.IntegerField(
        label="Places for eggs", required=False, help_text="Empty if not said.", widget=forms.TextInput(attrs=_NUMBER)
    )
    field_order = ("name", "kind", "within", "capacity")

    def __init__(self, node: Node, tree: Tree, *args: object, **kwargs: object) -> None:
        super().__init__(tree, *args, **kwargs)
        own = node.place.kind
        words = list(KINDS) if own in dict(KINDS) else [*KINDS, (own, own)]
        self.fields["kind"].choices = words  # type: ignore[attr-defined]  # a choice field
        choices = larger_places(tree, but=(one.key for one in node.below()))
        if node.larger and str(node.larger.key) not in dict(choices):
            choices.append((str(node.larger.key), node.larger.whole))
        self.fields["within"].choices = choices  # type: ignore[attr-defined]  # a choice field
        if not node.is_for_eggs:
            del self.fields["capacity"]


def names_of(text: str) -> list[str]:
    """Names of tubs or boxes that were typed; raises RecordError."""
    return tub_names(text)
