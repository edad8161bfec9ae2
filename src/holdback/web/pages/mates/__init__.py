"""Mates of one animal, the best first."""
