"""The tables of what the keeper works towards: projects, planned pairings, cautions spoken for."""

from __future__ import annotations

from holdback.collection.projects import Accepted, PairingState, PlannedPairing, Project, ProjectState, SizeAim
from holdback.collection.table import Column, Kind, Table, animal, text

_PROJECT = "Id of the project."

PROJECT_TABLES: tuple[Table, ...] = (
    Table(
        "projects",
        "One project a row: what is wanted, by when, within which limits, in the order of the keeper.",
        Project,
        (
            Column("id", Kind.ID, "Permanent id of the project.", required=True),
            Column("name", Kind.TEXT, "What it is called.", required=True, absent=""),
            text("want", "What an animal must show or carry, in trade shorthand, as in female Clown Enchi."),
            Column("some_of", Kind.LIST, "Genes of which some must be there too, parted by |.", absent=()),
            Column("some_least", Kind.COUNT, "How many of them at least.", absent=0),
            text("none_of", "Genes that it must not carry."),
            text("line", "Name of a line of which a share is wanted."),
            Column("share_at_least", Kind.NUMBER, "Least expected share of the line, 0 to 1.", absent=0.0),
            Column(
                "size", Kind.WORD, "What is wanted of adult size; empty is no wish.", words=SizeAim, absent=SizeAim.NONE
            ),
            Column("size_low_g", Kind.NUMBER, "Adult mass in gram that a band begins with.", positive=True),
            Column("size_high_g", Kind.NUMBER, "Adult mass in gram that a band ends with.", positive=True),
            Column("number", Kind.COUNT, "Animals wanted; empty is 1.", absent=1),
            Column("by", Kind.COUNT, "Last season for it, by the year of hatching; empty where nobody said."),
            Column(
                "inbreeding_at_most",
                Kind.NUMBER,
                "Largest inbreeding coefficient of young bred for it, 0 to 1; empty is 0.125, 1 is no limit.",
                absent=0.125,
            ),
            Column("eggs", Kind.COUNT, "Eggs that it may use in all; empty is no limit."),
            Column("tubs", Kind.COUNT, "Young that it may hold back at one time; empty is no limit."),
            Column("money", Kind.NUMBER, "Money that it may use, in the keeper's currency; empty is no limit."),
            Column("worth_eggs", Kind.NUMBER, "Eggs of any pairing that the goal is worth; empty is 60.", absent=60.0),
            Column(
                "year_worth_eggs",
                Kind.NUMBER,
                "Eggs that having it a year sooner is worth; empty is 10.",
                absent=10.0,
            ),
            Column("animals", Kind.LIST, "Ids of animals kept for it only, parted by |.", absent=()),
            Column("held_back", Kind.LIST, "Ids of young held back for it, parted by |.", absent=()),
            Column("least_pairings", Kind.COUNT, "Pairings that it is to have in a season.", absent=0),
            Column("since", Kind.DATE, "When it was begun."),
            Column(
                "state",
                Kind.WORD,
                "How it stands; empty is open.",
                words=ProjectState,
                absent=ProjectState.OPEN,
            ),
            text("notes", "Free text."),
        ),
        ("id",),
        is_late=True,
    ),
    Table(
        "planned_pairings",
        "Two animals that are to be put together in a season.",
        PlannedPairing,
        (
            Column("year", Kind.COUNT, "Season, by the year of laying.", required=True),
            animal("dam", "Id of the female."),
            animal("sire", "Id of the male."),
            Column("project", Kind.ID, f"{_PROJECT[:-1]} that it serves.", refers="projects"),
            Column(
                "state",
                Kind.WORD,
                "How it stands; a plan leaves a locked one as it is. Empty is planned.",
                words=PairingState,
                absent=PairingState.PLANNED,
            ),
            text("note", "Free text."),
        ),
        ("year", "dam", "sire"),
        is_late=True,
    ),
    Table(
        "accepted",
        "A caution that the keeper has spoken for, for one project.",
        Accepted,
        (
            Column("project", Kind.ID, _PROJECT, required=True, refers="projects"),
            Column(
                "code",
                Kind.TEXT,
                "Code of the caution, as in welfare-neurological:spider, or of all of its kind.",
                required=True,
                absent="",
            ),
            text("by", "Who spoke."),
            Column("date", Kind.DATE, "When."),
            text("words", "What was said."),
        ),
        ("project", "code"),
        is_late=True,
    ),
)
"""All three, in the order they are read and written."""
