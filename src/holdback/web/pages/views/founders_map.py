"""Where founders came from, on a map."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from holdback.bridge import catalogue_of_records
from holdback.web.pages.map import page
from holdback.web.pages.map.drawing import map_svg
from holdback.web.pages.map.outlines import atlas
from holdback.web.pages.map.places import sort_places


@require_safe
def founders_map(request: HttpRequest) -> HttpResponse:
    """Animals by place of origin over a sketch of the species' range."""
    catalogue, outlines = catalogue_of_records(), atlas()
    founders, wild = page.founders_of(catalogue.key), catalogue.wild_range
    places = sort_places(founders.origins, outlines)
    plain, doubt = page.lede(founders, places)
    message, how = page.range_words(wild, catalogue.common_name)
    hatched = wild.countries if wild else ()
    context = {
        "room": "Lines",
        "plain": plain,
        "doubt": doubt,
        "message": message,
        "how": how,
        "range_list": page.range_list(wild) if wild else "",
        "range_note": wild.note if wild else "",
        "svg": map_svg(outlines, places.groups, hatched, said=page.map_said(places.groups, wild)),
        "outlines": outlines,
        "table": page.places_table(founders, places),
        "founders": founders,
        "n_unplaced": founders.total - founders.placed,
        "law": catalogue.notes.get("law", ""),
    }
    return render(request, "pages/founders_map.html", context)
