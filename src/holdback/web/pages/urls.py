"""Addresses of the pages."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages import demo_day
from holdback.web.pages.calendar import views as calendar
from holdback.web.pages.clutch.urls import patterns as clutches
from holdback.web.pages.correct.urls import patterns as corrections
from holdback.web.pages.due.urls import patterns as due
from holdback.web.pages.happened.urls import patterns as happened
from holdback.web.pages.holdback_day.urls import patterns as hold_back
from holdback.web.pages.ideas.urls import patterns as ideas
from holdback.web.pages.labels.urls import patterns as labels
from holdback.web.pages.line.urls import patterns as line_plans
from holdback.web.pages.log.urls import patterns as log
from holdback.web.pages.mates.urls import patterns as mates
from holdback.web.pages.matings.urls import patterns as matings
from holdback.web.pages.phone.urls import patterns as phone
from holdback.web.pages.photos.urls import patterns as photos
from holdback.web.pages.places.urls import patterns as places
from holdback.web.pages.projects.urls import patterns as projects
from holdback.web.pages.rounds.urls import patterns as rounds
from holdback.web.pages.rules.urls import patterns as rules
from holdback.web.pages.season.urls import patterns as season
from holdback.web.pages.season_plan.urls import patterns as season_plan
from holdback.web.pages.views import (
    almanac,
    animal,
    assumed,
    collection,
    desk,
    find,
    founders_map,
    line_claims,
    lines,
    odd,
    origins,
    pair,
    pedigree,
    size,
    undo,
    working,
)

app_name = "pages"
urlpatterns = [
    path("", desk.desk, name="desk"),
    path("demo/day/", demo_day.move, name="demo-day"),
    path("animals/", collection.collection, name="collection"),
    path("animals/biggest/", size.biggest, name="biggest"),
    path("animals/new/", collection.add_animal, name="add-animal"),
    path("animals/reading/", collection.reading, name="reading"),
    path("animals/<uuid:key>/", animal.animal, name="animal"),
    path("animals/<uuid:key>/change/", animal.change, name="change-animal"),
    path("animals/<uuid:key>/weight/", animal.add_weight, name="add-weight"),
    path("animals/<uuid:key>/look/", animal.add_look, name="add-look"),
    path("animals/<uuid:key>/claim/", animal.add_claim, name="add-claim"),
    path("animals/<uuid:key>/line/", line_claims.add, name="add-line-claim"),
    path("line-claims/<uuid:key>/", line_claims.change, name="change-line-claim"),
    path("line-claims/<uuid:key>/remove/", line_claims.remove, name="remove-line-claim"),
    path("animals/<uuid:key>/fit/", animal.misfits, name="misfits"),
    path("animals/<uuid:key>/settle/", animal.settle, name="settle"),
    path("animals/<uuid:key>/size/", size.of_animal, name="animal-size"),
    path("animals/<uuid:key>/of-line/", animal.odds_of_line, name="animal-of-line"),
    path("animals/<uuid:key>/odd/", odd.odd_look, name="odd-look"),
    path("animals/<uuid:key>/pedigree/", pedigree.pedigree, name="pedigree"),
    path("animals/<uuid:key>/pedigree.svg", pedigree.pedigree_file, name="pedigree-file"),
    path("animals/<uuid:key>/origin/", origins.origin, name="origin"),
    path("animals/<uuid:key>/origin/remove/", origins.remove, name="remove-origin"),
    path("animals/<uuid:key>/history/", animal.history, name="history"),
    *due,
    *corrections,
    *happened,
    *hold_back,
    *ideas,
    *log,
    *mates,
    *matings,
    *photos,
    *labels,
    *phone,
    *places,
    *projects,
    *rounds,
    *season,
    *season_plan,
    path("lines/", lines.lines, name="lines"),
    path("lines/doubts/<path:name>/", lines.doubts, name="line-doubts"),
    path("lines/size/<path:name>/", size.of_line, name="line-size"),
    path("lines/of/<path:name>/", lines.line, name="line"),
    *line_plans,
    path("lines/map/", founders_map.founders_map, name="founders-map"),
    path("calendar/", calendar.calendar, name="calendar"),
    path("calendar/season.ics", calendar.calendar_file, name="calendar-file"),
    path("calendar/give-out/", calendar.give_out, name="give-calendar-out"),
    path("calendar/close/", calendar.close, name="close-calendar"),
    path("calendar/feed/<str:secret>/season.ics", calendar.calendar_feed, name="calendar-feed"),
    path("pair/", pair.pair, name="pair"),
    path("pair/size/", size.of_young, name="young-size"),
    path("pair/choices/", find.parent_choices, name="parent-choices"),
    *clutches,
    *rules,
    path("almanac/", almanac.almanac, name="almanac"),
    path("almanac/new/", almanac.add_gene, name="add-gene"),
    path("almanac/<slug:key>/", almanac.gene, name="gene"),
    path("almanac/assumed/<slug:kind>/<str:key>/", assumed.change, name="change-assumed"),
    path("almanac/assumed/<slug:kind>/<str:key>/as-shipped/", assumed.reset, name="reset-assumed"),
    path("almanac/<slug:key>/change/", almanac.change_gene, name="change-gene"),
    path("find/", find.find, name="find"),
    path("working/<uuid:key>/", working.progress, name="working"),
    path("working/<uuid:key>/stop/", working.stop, name="stop-working"),
    path("working/<uuid:key>/again/", working.again, name="work-again"),
    path("undo/<uuid:batch>/", undo.undo, name="undo"),
]
"""Every page and fragment."""
