"""What the keeper works towards, the pairings planned for it, and what was said and told on the way."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from holdback.collection.projects import PairingState, ProjectState, SizeAim
from holdback.web.records.models.animals import Animal
from holdback.web.records.models.base import PROJECTS, PartialDateField, Record


class Project(Record):
    """A goal as the keeper said it, and how it stands; the fields are those of `holdback.decisions.goal.Goal`."""

    key = models.CharField(max_length=64, unique=True)
    """Permanent id, part of addresses and of the folder."""
    name = models.CharField(max_length=120)
    species = models.CharField(max_length=64, default="python_regius")
    want = models.CharField(max_length=200, blank=True)
    some_of = models.JSONField(default=list, blank=True)
    """Genes in shorthand, a list of texts."""
    some_least = models.PositiveSmallIntegerField(default=0)
    none_of = models.CharField(max_length=200, blank=True)
    line = models.CharField(max_length=80, blank=True)
    share_at_least = models.FloatField(default=0.0)
    size_aim = models.CharField(
        max_length=24, choices=[(one.value, one.value) for one in SizeAim], default=SizeAim.NONE.value
    )
    size_low_g = models.FloatField(null=True, blank=True)
    size_high_g = models.FloatField(null=True, blank=True)
    number = models.PositiveSmallIntegerField(default=1)
    by = models.PositiveSmallIntegerField(null=True, blank=True)
    """Last season, by the year of hatching."""
    inbreeding_at_most = models.FloatField(default=0.125)
    eggs = models.PositiveIntegerField(null=True, blank=True)
    tubs = models.PositiveIntegerField(null=True, blank=True)
    money = models.FloatField(null=True, blank=True)
    worth_eggs = models.FloatField(default=60.0)
    year_worth_eggs = models.FloatField(default=10.0)
    least_pairings = models.PositiveSmallIntegerField(default=0)
    since = PartialDateField()
    state = models.CharField(
        max_length=10, choices=[(one.value, one.value) for one in ProjectState], default=ProjectState.OPEN.value
    )
    notes = models.TextField(blank=True)
    order = models.PositiveSmallIntegerField(default=0)
    """Place among the projects, as the keeper put them."""

    scope = PROJECTS

    class Meta:
        ordering = ("order", "key")
        constraints = [
            models.CheckConstraint(
                condition=Q(share_at_least__gte=0, share_at_least__lte=1), name="project_share_is_a_share"
            ),
            models.CheckConstraint(
                condition=Q(inbreeding_at_most__gte=0, inbreeding_at_most__lte=1),
                name="project_inbreeding_is_a_coefficient",
            ),
            models.CheckConstraint(condition=Q(number__gte=1), name="project_wants_an_animal"),
            models.CheckConstraint(
                condition=Q(state__in=[one.value for one in ProjectState]), name="project_state_is_known_word"
            ),
        ]

    def __str__(self) -> str:
        """What it is called."""
        return self.name


class ProjectAnimal(Record):
    """An animal that is kept for one project only, or a young that is held back for it."""

    ONLY, HELD_BACK = "only", "held back"

    project = models.ForeignKey(Project, models.PROTECT, related_name="animals")
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="projects")
    role = models.CharField(max_length=10, choices=[(one, one) for one in (ONLY, HELD_BACK)])
    status_before = models.CharField(max_length=60, blank=True)
    """Status of a young before it was held back, which it gets again when it is released."""

    scope = PROJECTS

    class Meta:
        ordering = ("role", "animal__tag", "id")
        constraints = [
            models.UniqueConstraint(fields=["project", "animal", "role"], name="project_animal_once"),
            models.CheckConstraint(condition=Q(role__in=["only", "held back"]), name="project_animal_role_is_known"),
        ]

    def __str__(self) -> str:
        """Role alone: the animal and the project would each take a query."""
        return self.role


class PlannedPairing(Record):
    """Two animals that are to be put together in a season; that they were is told by the matings."""

    year = models.PositiveSmallIntegerField()
    """Season, by the year of laying."""
    dam = models.ForeignKey(Animal, models.PROTECT, related_name="planned_as_dam")
    sire = models.ForeignKey(Animal, models.PROTECT, related_name="planned_as_sire")
    project = models.ForeignKey(Project, models.PROTECT, null=True, blank=True, related_name="pairings")
    state = models.CharField(
        max_length=8, choices=[(one.value, one.value) for one in PairingState], default=PairingState.PLANNED.value
    )
    note = models.TextField(blank=True)

    scope = PROJECTS

    class Meta:
        ordering = ("year", "dam__tag", "sire__tag", "id")
        constraints = [
            models.UniqueConstraint(fields=["year", "dam", "sire"], name="planned_pairing_once"),
            models.CheckConstraint(condition=~Q(dam=F("sire")), name="planned_pairing_of_two_animals"),
            models.CheckConstraint(
                condition=Q(state__in=[one.value for one in PairingState]), name="planned_pairing_state_is_known_word"
            ),
        ]
        indexes = [models.Index(fields=["year"], name="planned_pairing_year")]

    def __str__(self) -> str:
        """Both animals and the season."""
        return f"{self.sire} with {self.dam} in {self.year}"


class PlanKept(Record):
    """A plan as the keeper was told it, to say later what changed and why."""

    project = models.ForeignKey(Project, models.PROTECT, null=True, blank=True, related_name="plans")
    """None where it is the plan of a whole season."""
    year = models.PositiveSmallIntegerField()
    made_at = models.DateTimeField()
    plan = models.JSONField()
    digest = models.CharField(max_length=64)
    """Digest of the records that it was made from."""
    version = models.CharField(max_length=32)
    """Version of the program that made it."""

    scope = PROJECTS

    class Meta:
        ordering = ("made_at", "id")
        verbose_name_plural = "plans kept"
        indexes = [models.Index(fields=["project", "year", "made_at"], name="plan_kept_in_time")]

    def __str__(self) -> str:
        """Season and moment."""
        return f"{self.year}, told {self.made_at:%Y-%m-%d}"


class Decision(Record):
    """A caution that the keeper has spoken for, for one project: by whom, when, in which words."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="decisions")
    code = models.CharField(max_length=120)
    """Code of the caution, or of all of its kind; see `holdback.decisions.welfare`."""
    by = models.CharField(max_length=120, blank=True)
    date = PartialDateField()
    words = models.TextField(blank=True)

    scope = PROJECTS

    class Meta:
        ordering = ("code", "id")
        constraints = [
            models.UniqueConstraint(fields=["project", "code"], name="decision_once"),
            models.CheckConstraint(condition=~Q(code=""), name="decision_has_a_code"),
        ]

    def __str__(self) -> str:
        """Code of the caution."""
        return self.code
