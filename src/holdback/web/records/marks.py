"""Marks that tell whether anything changed since."""

from __future__ import annotations

from holdback.web.records.models import SCOPES, Revision


def marks(*scopes: str) -> dict[str, str]:
    """Mark of each scope, empty where nothing was ever written; one query.

    Parameters
    ----------
    *scopes : str
        Which; all if left out.
    """
    wanted = scopes or SCOPES
    found = dict(Revision.objects.filter(scope__in=wanted).values_list("scope", "mark"))
    return {scope: str(found.get(scope, "")) for scope in wanted}


def mark_of(scope: str) -> str:
    """Mark of one scope."""
    return marks(scope)[scope]
