import datetime
import uuid

import django.db.models.deletion
from django.db import migrations, models

import holdback.web.records.models.base


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Revision",
            fields=[
                (
                    "scope",
                    models.CharField(
                        choices=[
                            ("animals", "animals"),
                            ("readings", "readings"),
                            ("places", "places"),
                            ("catalogue", "catalogue"),
                        ],
                        max_length=12,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("mark", models.UUIDField(default=uuid.uuid4)),
            ],
        ),
        migrations.CreateModel(
            name="Animal",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("tag", models.CharField(max_length=64)),
                ("name", models.CharField(blank=True, max_length=120)),
                ("species", models.CharField(default="python_regius", max_length=64)),
                (
                    "sex",
                    models.CharField(
                        choices=[("male", "male"), ("female", "female"), ("unknown", "unknown")],
                        default="unknown",
                        max_length=8,
                    ),
                ),
                ("hatched", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("hatched_first", models.DateField(blank=True, editable=False, null=True)),
                (
                    "origin",
                    models.CharField(
                        choices=[
                            ("captive bred", "captive bred"),
                            ("captive hatched", "captive hatched"),
                            ("farm bred", "farm bred"),
                            ("wild caught", "wild caught"),
                            ("unknown", "unknown"),
                        ],
                        default="unknown",
                        max_length=20,
                    ),
                ),
                ("status", models.CharField(blank=True, max_length=60)),
                ("genes_text", models.TextField(blank=True)),
                ("notes", models.TextField(blank=True)),
                ("living", models.BooleanField(default=True, editable=False)),
                ("removed_at", models.DateTimeField(blank=True, null=True)),
                ("search_text", models.TextField(blank=True, editable=False)),
                (
                    "dam",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="young_of_dam",
                        to="records.animal",
                    ),
                ),
            ],
            options={
                "ordering": ("tag",),
            },
        ),
        migrations.CreateModel(
            name="AnimalName",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("name", models.CharField(max_length=120)),
                ("since", models.DateField(default=datetime.date.today)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="names", to="records.animal"
                    ),
                ),
            ],
            options={
                "ordering": ("since", "id"),
            },
        ),
        migrations.CreateModel(
            name="Clutch",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("tag", models.CharField(max_length=64)),
                ("laid", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("laid_first", models.DateField(blank=True, editable=False, null=True)),
                ("hatched", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("eggs", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("slugs", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("notes", models.TextField(blank=True)),
                ("removed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "dam",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="clutches",
                        to="records.animal",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "clutches",
                "ordering": ("laid_first", "tag"),
            },
        ),
        migrations.AddField(
            model_name="animal",
            name="clutch",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="hatchlings",
                to="records.clutch",
            ),
        ),
        migrations.CreateModel(
            name="Egg",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("mark", models.CharField(max_length=30)),
                ("mass_g", models.FloatField(blank=True, null=True)),
                ("candling", models.CharField(blank=True, max_length=120)),
                (
                    "outcome",
                    models.CharField(
                        choices=[("hatched", "hatched"), ("slug", "slug"), ("died", "died"), ("unknown", "unknown")],
                        default="unknown",
                        max_length=8,
                    ),
                ),
                (
                    "animal",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="egg",
                        to="records.animal",
                    ),
                ),
                (
                    "clutch",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="egg_records", to="records.clutch"
                    ),
                ),
            ],
            options={
                "ordering": ("clutch", "mark"),
            },
        ),
        migrations.CreateModel(
            name="GeneChange",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("species", models.CharField(default="python_regius", max_length=64)),
                ("kind", models.CharField(default="allele", max_length=20)),
                ("key", models.CharField(max_length=80)),
                ("patch", models.JSONField(default=dict)),
                ("note", models.TextField(blank=True)),
            ],
            options={
                "ordering": ("species", "kind", "key"),
                "constraints": [models.UniqueConstraint(fields=("species", "kind", "key"), name="gene_changed_once")],
            },
        ),
        migrations.CreateModel(
            name="LineClaim",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("line", models.CharField(max_length=80)),
                ("share_low", models.FloatField(default=1.0)),
                ("share_high", models.FloatField(default=1.0)),
                ("ground", models.CharField(blank=True, max_length=200)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="line_claims", to="records.animal"
                    ),
                ),
            ],
            options={
                "ordering": ("line", "id"),
            },
        ),
        migrations.CreateModel(
            name="Look",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("allele", models.CharField(max_length=80)),
                ("copies", models.PositiveSmallIntegerField(default=1)),
                ("seen_by", models.CharField(blank=True, max_length=120)),
                ("date", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                (
                    "ease",
                    models.CharField(
                        choices=[("plain", "plain"), ("subtle", "subtle"), ("hard", "hard")],
                        default="plain",
                        max_length=8,
                    ),
                ),
                ("sure", models.FloatField(default=1.0)),
                ("note", models.TextField(blank=True)),
                ("derived", models.BooleanField(default=False)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="looks", to="records.animal"
                    ),
                ),
            ],
            options={
                "ordering": ("allele", "id"),
            },
        ),
        migrations.CreateModel(
            name="Mating",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("together", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("apart", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("locks", models.PositiveSmallIntegerField(default=0)),
                ("notes", models.TextField(blank=True)),
                (
                    "dam",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="matings_as_dam", to="records.animal"
                    ),
                ),
                (
                    "sire",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="matings_as_sire", to="records.animal"
                    ),
                ),
            ],
            options={
                "ordering": ("together", "id"),
            },
        ),
        migrations.CreateModel(
            name="Measurement",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("date", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                (
                    "trait",
                    models.CharField(
                        choices=[
                            ("mass", "mass"),
                            ("snout-vent length", "snout-vent length"),
                            ("total length", "total length"),
                            ("head width", "head width"),
                            ("head length", "head length"),
                            ("girth", "girth"),
                        ],
                        max_length=20,
                    ),
                ),
                ("value", models.FloatField()),
                ("unit", models.CharField(max_length=4)),
                ("typed", models.CharField(blank=True, max_length=40)),
                ("condition", models.CharField(blank=True, max_length=40)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="measurements", to="records.animal"
                    ),
                ),
            ],
            options={
                "ordering": ("date", "id"),
            },
        ),
        migrations.CreateModel(
            name="Observation",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("date", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("kind", models.CharField(max_length=40)),
                ("value", models.FloatField(blank=True, null=True)),
                ("unit", models.CharField(blank=True, max_length=12)),
                ("note", models.TextField(blank=True)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="observations", to="records.animal"
                    ),
                ),
            ],
            options={
                "ordering": ("date", "id"),
            },
        ),
        migrations.CreateModel(
            name="Parentage",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("weight", models.FloatField(default=1.0)),
                ("no_sire", models.BooleanField(default=False)),
                (
                    "animal",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="candidate_sires",
                        to="records.animal",
                    ),
                ),
                (
                    "clutch",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="candidate_sires",
                        to="records.clutch",
                    ),
                ),
                (
                    "sire",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sired",
                        to="records.animal",
                    ),
                ),
            ],
            options={
                "ordering": ("-weight", "id"),
            },
        ),
        migrations.CreateModel(
            name="Place",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("name", models.CharField(max_length=80)),
                ("kind", models.CharField(blank=True, max_length=30)),
                ("notes", models.TextField(blank=True)),
                (
                    "within",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="parts",
                        to="records.place",
                    ),
                ),
            ],
            options={
                "ordering": ("name",),
            },
        ),
        migrations.CreateModel(
            name="SexDetermination",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                (
                    "sex",
                    models.CharField(
                        choices=[("male", "male"), ("female", "female"), ("unknown", "unknown")], max_length=8
                    ),
                ),
                ("method", models.CharField(blank=True, max_length=60)),
                ("date", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("found_by", models.CharField(blank=True, max_length=120)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sex_determinations",
                        to="records.animal",
                    ),
                ),
            ],
            options={
                "ordering": ("date", "id"),
            },
        ),
        migrations.CreateModel(
            name="Stay",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("since", models.DateField()),
                ("until", models.DateField(blank=True, null=True)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="stays", to="records.animal"
                    ),
                ),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="stays", to="records.place"
                    ),
                ),
            ],
            options={
                "ordering": ("since", "id"),
            },
        ),
        migrations.CreateModel(
            name="Change",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("batch", models.UUIDField(default=uuid.uuid4)),
                ("at", models.DateTimeField()),
                ("who", models.CharField(max_length=120)),
                ("deed", models.CharField(max_length=60)),
                ("model", models.CharField(max_length=40)),
                ("record", models.UUIDField()),
                ("label", models.CharField(blank=True, max_length=200)),
                ("before", models.JSONField(null=True)),
                ("after", models.JSONField(null=True)),
                (
                    "undoes",
                    models.OneToOneField(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="undone_by",
                        to="records.change",
                    ),
                ),
            ],
            options={
                "ordering": ("id",),
                "indexes": [
                    models.Index(fields=["batch"], name="change_batch"),
                    models.Index(fields=["record", "id"], name="change_record"),
                ],
            },
        ),
        migrations.CreateModel(
            name="Claim",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("allele", models.CharField(max_length=80)),
                ("none", models.FloatField()),
                ("one", models.FloatField()),
                ("two", models.FloatField()),
                ("said_by", models.CharField(blank=True, max_length=120)),
                ("ground", models.CharField(blank=True, max_length=200)),
                ("trust", models.FloatField(default=1.0)),
                ("date", holdback.web.records.models.base.PartialDateField(blank=True, default="", max_length=10)),
                ("derived", models.BooleanField(default=False)),
                (
                    "animal",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="claims", to="records.animal"
                    ),
                ),
            ],
            options={
                "ordering": ("allele", "id"),
                "indexes": [models.Index(fields=["allele"], name="claim_allele")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("none__gte", 0),
                            ("none__lte", 1),
                            ("one__gte", 0),
                            ("one__lte", 1),
                            ("two__gte", 0),
                            ("two__lte", 1),
                        ),
                        name="claim_chances_in_0_to_1",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("trust__gte", 0), ("trust__lte", 1)), name="claim_trust_in_0_to_1"
                    ),
                ],
            },
        ),
        migrations.AddIndex(
            model_name="clutch",
            index=models.Index(fields=["laid_first"], name="clutch_laid"),
        ),
        migrations.AddConstraint(
            model_name="clutch",
            constraint=models.UniqueConstraint(
                condition=models.Q(("removed_at__isnull", True)), fields=("tag",), name="clutch_tag_unique"
            ),
        ),
        migrations.AddConstraint(
            model_name="clutch",
            constraint=models.CheckConstraint(condition=models.Q(("tag", ""), _negated=True), name="clutch_has_a_tag"),
        ),
        migrations.AddConstraint(
            model_name="clutch",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("eggs__isnull", True), ("slugs__isnull", True), ("slugs__lte", models.F("eggs")), _connector="OR"
                ),
                name="slugs_among_eggs",
            ),
        ),
        migrations.AddIndex(
            model_name="animal",
            index=models.Index(fields=["tag"], name="animal_tag"),
        ),
        migrations.AddIndex(
            model_name="animal",
            index=models.Index(fields=["name"], name="animal_name"),
        ),
        migrations.AddIndex(
            model_name="animal",
            index=models.Index(fields=["sex", "tag"], name="animal_sex"),
        ),
        migrations.AddIndex(
            model_name="animal",
            index=models.Index(fields=["hatched_first", "tag"], name="animal_hatched"),
        ),
        migrations.AddIndex(
            model_name="animal",
            index=models.Index(fields=["status", "tag"], name="animal_status"),
        ),
        migrations.AddConstraint(
            model_name="animal",
            constraint=models.UniqueConstraint(
                condition=models.Q(("living", True), ("removed_at__isnull", True)),
                fields=("tag",),
                name="tag_unique_among_living",
            ),
        ),
        migrations.AddConstraint(
            model_name="animal",
            constraint=models.CheckConstraint(condition=models.Q(("tag", ""), _negated=True), name="animal_has_a_tag"),
        ),
        migrations.AddConstraint(
            model_name="animal",
            constraint=models.CheckConstraint(
                condition=models.Q(("sex__in", ["male", "female", "unknown"])), name="sex_is_known_word"
            ),
        ),
        migrations.AddConstraint(
            model_name="animal",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("origin__in", ["captive bred", "captive hatched", "farm bred", "wild caught", "unknown"])
                ),
                name="origin_is_known_word",
            ),
        ),
        migrations.AddConstraint(
            model_name="animal",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("dam__isnull", True), models.Q(("dam", models.F("id")), _negated=True), _connector="OR"
                ),
                name="not_its_own_dam",
            ),
        ),
        migrations.AddConstraint(
            model_name="egg",
            constraint=models.UniqueConstraint(fields=("clutch", "mark"), name="egg_mark_once_a_clutch"),
        ),
        migrations.AddConstraint(
            model_name="egg",
            constraint=models.CheckConstraint(
                condition=models.Q(("mass_g__isnull", True), ("mass_g__gt", 0), _connector="OR"),
                name="egg_mass_positive",
            ),
        ),
        migrations.AddConstraint(
            model_name="egg",
            constraint=models.CheckConstraint(
                condition=models.Q(("outcome__in", ["hatched", "slug", "died", "unknown"])),
                name="egg_outcome_is_known_word",
            ),
        ),
        migrations.AddIndex(
            model_name="lineclaim",
            index=models.Index(fields=["line"], name="line_name"),
        ),
        migrations.AddConstraint(
            model_name="lineclaim",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("share_low__gte", 0),
                    ("share_low__lte", 1),
                    ("share_high__gte", 0),
                    ("share_high__lte", 1),
                    ("share_low__lte", models.F("share_high")),
                ),
                name="line_share_in_order",
            ),
        ),
        migrations.AddConstraint(
            model_name="lineclaim",
            constraint=models.UniqueConstraint(fields=("animal", "line"), name="line_once_an_animal"),
        ),
        migrations.AddIndex(
            model_name="look",
            index=models.Index(fields=["allele"], name="look_allele"),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.CheckConstraint(condition=models.Q(("copies__lte", 2)), name="look_copies_0_to_2"),
        ),
        migrations.AddConstraint(
            model_name="look",
            constraint=models.CheckConstraint(
                condition=models.Q(("sure__gt", 0), ("sure__lte", 1)), name="look_sure_above_0_to_1"
            ),
        ),
        migrations.AddConstraint(
            model_name="mating",
            constraint=models.CheckConstraint(
                condition=models.Q(("dam", models.F("sire")), _negated=True), name="mating_of_two_animals"
            ),
        ),
        migrations.AddIndex(
            model_name="measurement",
            index=models.Index(fields=["animal", "trait", "date"], name="measurement_series"),
        ),
        migrations.AddConstraint(
            model_name="measurement",
            constraint=models.CheckConstraint(condition=models.Q(("value__gt", 0)), name="measurement_positive"),
        ),
        migrations.AddConstraint(
            model_name="measurement",
            constraint=models.CheckConstraint(
                condition=models.Q(("date", ""), _negated=True), name="measurement_has_a_date"
            ),
        ),
        migrations.AddIndex(
            model_name="observation",
            index=models.Index(fields=["animal", "kind", "date"], name="observation_series"),
        ),
        migrations.AddConstraint(
            model_name="observation",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind", ""), _negated=True), name="observation_has_a_kind"
            ),
        ),
        migrations.AddConstraint(
            model_name="observation",
            constraint=models.CheckConstraint(
                condition=models.Q(("date", ""), _negated=True), name="observation_has_a_date"
            ),
        ),
        migrations.AddConstraint(
            model_name="parentage",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("animal__isnull", True), ("clutch__isnull", False)),
                    models.Q(("animal__isnull", False), ("clutch__isnull", True)),
                    _connector="OR",
                ),
                name="parentage_of_animal_or_clutch",
            ),
        ),
        migrations.AddConstraint(
            model_name="parentage",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("no_sire", True), ("sire__isnull", True)),
                    models.Q(("no_sire", False), ("sire__isnull", False)),
                    _connector="OR",
                ),
                name="parentage_names_sire_or_none",
            ),
        ),
        migrations.AddConstraint(
            model_name="parentage",
            constraint=models.CheckConstraint(
                condition=models.Q(("weight__gt", 0), ("weight__lte", 1)), name="parentage_weight_above_0_to_1"
            ),
        ),
        migrations.AddConstraint(
            model_name="parentage",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("animal__isnull", True),
                    ("sire__isnull", True),
                    models.Q(("animal", models.F("sire")), _negated=True),
                    _connector="OR",
                ),
                name="not_its_own_sire",
            ),
        ),
        migrations.AddConstraint(
            model_name="parentage",
            constraint=models.UniqueConstraint(
                condition=models.Q(("animal__isnull", False)), fields=("animal", "sire"), name="sire_once_an_animal"
            ),
        ),
        migrations.AddConstraint(
            model_name="parentage",
            constraint=models.UniqueConstraint(
                condition=models.Q(("clutch__isnull", False)), fields=("clutch", "sire"), name="sire_once_a_clutch"
            ),
        ),
        migrations.AddConstraint(
            model_name="place",
            constraint=models.CheckConstraint(condition=models.Q(("name", ""), _negated=True), name="place_has_a_name"),
        ),
        migrations.AddConstraint(
            model_name="place",
            constraint=models.UniqueConstraint(fields=("within", "name"), name="place_name_once_within"),
        ),
        migrations.AddConstraint(
            model_name="place",
            constraint=models.UniqueConstraint(
                condition=models.Q(("within__isnull", True)), fields=("name",), name="place_name_once_on_top"
            ),
        ),
        migrations.AddConstraint(
            model_name="place",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("within__isnull", True), models.Q(("within", models.F("id")), _negated=True), _connector="OR"
                ),
                name="place_not_in_itself",
            ),
        ),
        migrations.AddConstraint(
            model_name="sexdetermination",
            constraint=models.CheckConstraint(
                condition=models.Q(("sex__in", ["male", "female", "unknown"])), name="found_sex_is_known_word"
            ),
        ),
        migrations.AddConstraint(
            model_name="stay",
            constraint=models.CheckConstraint(
                condition=models.Q(("until__isnull", True), ("until__gte", models.F("since")), _connector="OR"),
                name="stay_ends_after_it_began",
            ),
        ),
        migrations.AddConstraint(
            model_name="stay",
            constraint=models.UniqueConstraint(
                condition=models.Q(("until__isnull", True)), fields=("animal",), name="animal_in_one_place_at_a_time"
            ),
        ),
    ]
