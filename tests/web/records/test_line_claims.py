"""Correcting and taking back what is said of a line."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, LineClaim
from holdback.web.records.services import add_line_claim, change_line_claim, remove_line_claim, undo

WHO = "Wrackline Barn"
Add = Callable[..., Animal]


def test_change_line_claim__checks_and_keeps_the_rest(add: Add) -> None:
    claim = add_line_claim(add("A"), who=WHO, line="Marrowfen", ground="Importer.")
    change_line_claim(claim, who=WHO, share_low=0.5)
    kept = LineClaim.objects.get()
    assert (kept.share_low, kept.share_high, kept.ground) == (0.5, 1.0, "Importer.")
    with pytest.raises(RecordError, match="the lower share is above the upper one"):
        change_line_claim(kept, who=WHO, share_high=0.25)
    assert LineClaim.objects.get().share_high == 1.0


def test_remove_line_claim__comes_back_by_undo(add: Add) -> None:
    from holdback.web.records.models import Change

    claim = add_line_claim(add("A"), who=WHO, line="Marrowfen")
    key = claim.pk
    remove_line_claim(claim, who=WHO)
    assert not LineClaim.objects.exists()
    last = Change.objects.filter(record=key, deed="remove line claim").get()
    undo(last.batch, who=WHO)
    assert LineClaim.objects.get().line == "Marrowfen"
