"""What the keeper changed in the species catalogue, laid over the file that ships."""

from __future__ import annotations

from django.db import models

from holdback.web.records.models.base import CATALOGUE, Record


class GeneChange(Record):
    """A gene added or altered, as a patch in the structure of the species file."""

    species = models.CharField(max_length=64, default="python_regius")
    kind = models.CharField(max_length=20, default="allele")
    """Table of the species file that the patch goes into."""
    key = models.CharField(max_length=80)
    patch = models.JSONField(default=dict)
    note = models.TextField(blank=True)

    scope = CATALOGUE

    class Meta:
        ordering = ("species", "kind", "key")
        constraints = [models.UniqueConstraint(fields=["species", "kind", "key"], name="gene_changed_once")]

    def __str__(self) -> str:
        """Key of what is changed."""
        return f"{self.species} {self.kind} {self.key}"
