"""Set one of the keeper's own rules."""

from __future__ import annotations

import uuid
from typing import Any

from holdback.errors import Fault, RecordError
from holdback.web.records.models import Setting
from holdback.web.records.own_rules import RULES, OwnRules, RuleError, own_rules
from holdback.web.records.services.deed import deed


def set_rule(key: str, value: Any, *, who: str, batch: uuid.UUID | None = None) -> OwnRules:
    """All rules, after one was set.

    Parameters
    ----------
    key : str
        A key of `own_rules.RULES`.
    value : object
        What was typed; None goes back to the default.
    who : str
        Who sets it.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        SEA-024 where there is no such rule; SEA-025 where the value cannot be.
    """
    with deed("set rule", who=who, batch=batch) as done:
        kept = Setting.objects.filter(key=key).first()
        if key not in RULES:
            raise RecordError(
                Fault("SEA-024", f"there is no rule {key!r}.", f"Known are {', '.join(RULES)}.", field=key)
            )
        if value is None:
            done.delete(*([kept] if kept else []))
        elif kept:
            done.change(kept, value=_checked(key, value))
        else:
            done.make(Setting(key=key, value=_checked(key, value)))
        rules = own_rules()
        if rules.warm_low_c and rules.warm_high_c and rules.warm_low_c > rules.warm_high_c:
            what = f"the lowest warmth, {rules.warm_low_c:g} °C, is above the highest, {rules.warm_high_c:g} °C."
            raise RecordError(Fault("SEA-025", what, "Correct one of the two.", field=key, value=str(value)))
    return rules


def _checked(key: str, value: Any) -> Any:
    """The value as it is kept.

    Raises
    ------
    RecordError
        SEA-025 where it cannot be.
    """
    try:
        read = RULES[key].read(value)
    except RuleError as fault:
        raise RecordError(Fault("SEA-025", fault.what, fault.hint, field=key, value=str(value)[:40])) from None
    return list(read) if isinstance(read, tuple) else read
