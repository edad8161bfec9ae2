"""What a page of ideas is asked, from its address."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import QueryDict

from holdback.decisions.ideas import Only

MOST_OFFERED = 6000
"""Letters of listings that an address takes."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One request for ideas.

    Parameters
    ----------
    animal : str
        Id, name or genes, as typed.
    only : Only
        Which ideas are wanted.
    offers : str
        Listings, one a line.
    allow : tuple of str
        Codes of cautions that the keeper has spoken for.
    """

    animal: str = ""
    only: Only = Only.ANYTHING
    offers: str = ""
    allow: tuple[str, ...] = ()

    @classmethod
    def of(cls, given: QueryDict) -> Asked:
        """What an address asks; words that mean nothing here are passed over."""
        only = given.get("only", "")
        return cls(
            animal=given.get("animal", "").strip(),
            only=Only(only) if only in set(Only) else Only.ANYTHING,
            offers=given.get("offers", "").strip()[:MOST_OFFERED],
            allow=tuple(dict.fromkeys(code for code in given.getlist("allow") if code)),
        )

    @property
    def lines(self) -> list[str]:
        """Listings, one each."""
        return self.offers.splitlines()

    def address(self, *, also: tuple[str, ...] = ()) -> str:
        """Query that asks the same, with more cautions spoken for."""
        pairs = [("animal", self.animal)]
        pairs += [("only", str(self.only))] if self.only is not Only.ANYTHING else []
        pairs += [("offers", self.offers)] if self.offers else []
        pairs += [("allow", code) for code in dict.fromkeys((*self.allow, *also))]
        return "?" + urlencode(pairs)
