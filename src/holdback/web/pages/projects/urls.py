"""Addresses of projects."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.projects import views, writing

patterns = [
    path("projects/", views.projects, name="projects"),
    path("projects/new/", writing.new, name="new-project"),
    path("projects/order/", writing.reorder, name="reorder-projects"),
    path("projects/weighed/", writing.weighed, name="weigh-project"),
    path("projects/words/<uuid:key>/withdraw/", writing.withdraw, name="withdraw-word"),
    path("projects/<path:key>/change/", writing.change, name="change-project"),
    path("projects/<path:key>/reach/", writing.reach, name="reach-project"),
    path("projects/<path:key>/give-up/", writing.give_up, name="give-up-project"),
    path("projects/<path:key>/open/", writing.open_again, name="open-project-again"),
    path("projects/<path:key>/speak/", writing.speak, name="speak-for-project"),
    path("projects/<path:key>/keep/", views.keep, name="keep-plan"),
    path("projects/<path:key>/", views.project, name="project"),
]
"""A part of the addresses of the pages, under their names."""
