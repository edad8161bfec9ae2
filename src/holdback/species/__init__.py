"""Species files as frozen values: genes, looks, cautions, reproduction, growth."""

from holdback.species.catalogue import Catalogue, load

__all__ = ["Catalogue", "load"]
