"""Rounds: from tub to tub with a phone, also without a network."""

from __future__ import annotations
