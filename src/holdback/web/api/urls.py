"""Addresses of the API."""

from django.urls import path

from holdback.web.api.views import api

urlpatterns = [path("", api.urls)]
