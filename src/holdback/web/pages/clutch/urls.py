"""Addresses of clutches; those with a word of their own stand before the page that takes any tag."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.clutch import hatching, laying, listing, views

patterns = [
    path("clutches/", listing.clutches, name="clutches"),
    path("clutches/new/", laying.lay, name="lay-clutch"),
    path("clutches/<uuid:key>/change/", laying.change, name="change-clutch"),
    path("clutches/<uuid:key>/weigh/", views.weigh, name="weigh-egg"),
    path("clutches/<uuid:key>/look/", views.look, name="look-at-egg"),
    path("clutches/<uuid:key>/lost/", views.lose, name="lose-egg"),
    path("clutches/<uuid:key>/candle/", views.candle, name="candle"),
    path("clutches/<uuid:key>/box/", views.put, name="put-eggs"),
    path("clutches/<uuid:key>/close/", views.close, name="close-clutch"),
    path("clutches/<uuid:key>/aside/", views.set_aside, name="set-clutch-aside"),
    path("clutches/<uuid:key>/warmth/", views.warmth, name="log-warmth"),
    path("clutches/<uuid:key>/logger/", views.logger, name="read-logger"),
    path("clutches/<uuid:key>/hatched/", hatching.hatch, name="hatch"),
    path("clutches/<uuid:key>/numbers/", views.numbers, name="clutch-numbers"),
    path("clutches/<uuid:key>/foretold/", views.foretold, name="clutch-foretold"),
    path("clutches/<path:name>/", views.clutch, name="clutch"),
]
"""A part of the addresses of the pages, under their names."""
