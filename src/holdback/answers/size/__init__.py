"""Sizes of a collection as pages, commands and papers ask for them."""

from holdback.answers.size.sizes import Ranked, Sizes

__all__ = ["Ranked", "Sizes"]
