"""Holdback: what a ball-python collection carries, and what a pairing may give."""

__version__ = "0.1.0"
__all__ = ["__version__"]
