"""What keeps somebody from a page: what axe finds by day and by night, and what is wider than the screen."""

from __future__ import annotations

import json
from collections.abc import Mapping

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
OF_COLOUR = ["color-contrast", "link-in-text-block"]
"""All rules among them that a colour can break: at night nothing else of a page changes."""
WIDTHS = (1280, 390, 320)
UNFOLD = "for (const one of [...document.querySelectorAll('details')].slice(0, %s)) one.open = true"
AXE = Axe()


def barriers(page: Page, addresses: Mapping[str, str], *, unfold: int | None = 0) -> dict[str, str]:
    """Barriers of pages by name of the page, each loaded once.

    The widths are looked at as the page comes and once more with as many details opened as `unfold` says, None for all.
    """
    found = {}
    for name, address in addresses.items():
        page.set_viewport_size({"width": WIDTHS[0], "height": 844})
        page.emulate_media(color_scheme="light")
        page.goto(address)
        if said := on_this(page, unfold=unfold):
            found[name] = said
    return found


def on_this(page: Page, *, unfold: int | None = 0) -> str:
    """Barriers of the page that is open; nothing if there are none."""
    faults = [] if unfold == 0 else _too_wide(page)
    page.evaluate(UNFOLD % json.dumps(unfold).replace("null", "undefined"))
    faults += _too_wide(page)
    page.set_viewport_size({"width": WIDTHS[0], "height": 844})
    faults += by_axe(page)
    return "\n".join(faults)


def by_axe(page: Page) -> list[str]:
    """What axe finds on the page that is open, in light colours and in dark ones."""
    page.emulate_media(color_scheme="light")
    by_day = AXE.run(page, options={"runOnly": {"type": "tag", "values": TAGS}})
    page.emulate_media(color_scheme="dark")
    at_night = AXE.run(page, options={"runOnly": {"type": "rule", "values": OF_COLOUR}})
    return [one.generate_report() for one in (by_day, at_night) if one.violations_count]


def _too_wide(page: Page) -> list[str]:
    """At which widths of the screen the page scrolls sideways."""
    faults = []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 844})
        needed = page.evaluate("document.documentElement.scrollWidth")
        if needed > width:
            faults.append(f"{needed} px on a screen of {width} px")
    return faults
