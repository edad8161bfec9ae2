"""Photographs: add one, mark a scale and the animal on it, set two animals side by side."""
