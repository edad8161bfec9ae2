"""The commands and their options.

argparse, not a larger library: a keeper feels start-up most, and it costs a tenth of the others
(`docs/decisions/0002-command-line.md`).
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from importlib import import_module
from typing import TypeAlias

import holdback

Run = Callable[[argparse.Namespace], int]

_EGGS = "count on N fertile eggs; else the species' clutch sizes"


def parsed(argv: list[str]) -> argparse.Namespace:
    """Arguments of one call; the command to run stands in ``run``.

    Raises
    ------
    SystemExit
        With status 2 and a usage line if the call is wrong, 0 for help and version.
    """
    parser = argument_parser()
    if not argv:
        parser.print_help()
        raise SystemExit(0)
    return parser.parse_args(argv)


def argument_parser() -> argparse.ArgumentParser:
    """Parser with every command; also the source of the command reference."""
    parser = argparse.ArgumentParser(
        prog="holdback",
        description="What is this animal, who goes with whom, what will come out, and what may honestly be said.",
        epilog="'holdback COMMAND --help' says more. SIRE, DAM and ANIMAL are an id, a name, or genes in quotes.",
    )
    parser.add_argument("--version", action="version", version=f"holdback {holdback.__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for add in (
        _read,
        _odds,
        _ideas,
        _beliefs,
        _sires,
        _kin,
        _shares,
        _size,
        _season,
        _due,
        _calendar,
        _log,
        _mates,
        _route,
        _rehearse,
        _keep,
        _line,
        _backcross,
        _prove,
        _test_breed,
        _check,
        _import,
        _export,
        _serve,
        _demo,
    ):
        add(commands)
    return parser


def _later(module: str) -> Run:
    """Command whose module is imported when it runs."""

    def run(arguments: argparse.Namespace) -> int:
        return int(import_module(f"holdback.cli.{module}").run(arguments))

    return run


Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"


def _command(commands: Commands, name: str, module: str, text: str) -> argparse.ArgumentParser:
    """One command with the options that all share."""
    command: argparse.ArgumentParser = commands.add_parser(name, help=text, description=text)
    command.add_argument("--json", action="store_true", help="one JSON object on standard output, numbers unrounded")
    command.set_defaults(run=_later(module))
    return command


def _add_from(command: argparse.ArgumentParser) -> None:
    """Add the option that reads files in place of the database."""
    command.add_argument(
        "--from", dest="folder", metavar="FOLDER", help="work on a collection folder, not the database"
    )


def _read(commands: Commands) -> None:
    command = _command(commands, "read", "reading", "Read a line of trade shorthand and say what it means.")
    command.add_argument("text", metavar="TEXT", nargs="+", help="for example: 0.1 Pastel 66%% het Clown CB24")
    _add_from(command)


def _odds(commands: Commands) -> None:
    command = _command(commands, "odds", "odds", "What a pair gives: looks, what stays hidden, cautions.")
    command.add_argument("sire", metavar="SIRE", help="the male: id, name, or genes in quotes")
    command.add_argument("dam", metavar="DAM", help="the female: id, name, or genes in quotes")
    command.add_argument("--want", metavar="TEXT", default="", help="a wish, such as 'female Enchi Clown'")
    command.add_argument(
        "--eggs", type=int, metavar="N", help="count on N fertile eggs; else the species' clutch sizes"
    )
    command.add_argument("--hatch-rate", type=float, metavar="SHARE", help="share of --eggs that hatch; 1 if not given")
    command.add_argument("--top", type=int, metavar="N", default=16, help="looks to list, likeliest first (16)")
    _add_from(command)


def _ideas(commands: Commands) -> None:
    command = _command(commands, "ideas", "ideas", "What an animal should be bred to, and what never.")
    command.add_argument("animal", metavar="ANIMAL", help="id, name, or genes in quotes")
    which = command.add_mutually_exclusive_group()
    which.add_argument("--at-hand", action="store_true", help="only what somebody in the collection has")
    which.add_argument("--on-offer", action="store_true", help="only what somebody in --offered has")
    command.add_argument("--offered", metavar="FILE", help="listings to look at, one a line; nothing of them is kept")
    command.add_argument("--allow", metavar="CODE", nargs="+", default=[], help="cautions that you have spoken for")
    command.add_argument("--most", type=int, metavar="N", default=12, help="ideas to give, ties counting as one (12)")
    _add_from(command)


def _beliefs(commands: Commands) -> None:
    command = _command(commands, "beliefs", "beliefs", "What animals carry by all records together, and why.")
    command.add_argument("animals", metavar="ANIMAL", nargs="*", help="id or name; all animals in short where none is")
    command.add_argument("--why", action="store_true", help="say why, gene by gene, where no animal is named too")
    command.add_argument("--no-conflicts", action="store_true", help="do not look for records that do not fit together")
    _add_from(command)


def _sires(commands: Commands) -> None:
    command = _command(commands, "sires", "sires", "Which candidate sired a clutch, before and after its genes speak.")
    command.add_argument("clutch", metavar="CLUTCH", help="id of the clutch")
    command.add_argument("--each-egg", action="store_true", help="let every egg have a sire of its own")
    _add_from(command)


def _kin(commands: Commands) -> None:
    command = _command(commands, "kin", "kin", "How related two animals are, or how inbred everybody is.")
    command.add_argument(
        "animals", metavar="ANIMAL", nargs="*", help="two animals, id or name; everybody where none is"
    )
    _add_from(command)


def _shares(commands: Commands) -> None:
    command = _command(commands, "shares", "shares", "How much of a line runs in animals, and how far that may stray.")
    command.add_argument("animals", metavar="ANIMAL", nargs="*", help="id or name; all that carry some where none is")
    command.add_argument("--line", metavar="NAME", default="", help="one line only")
    command.add_argument("--above", type=float, metavar="SHARE", help="say the chance of more than this share, as 0.5")
    _add_from(command)


def _size(commands: Commands) -> None:
    command = _command(commands, "size", "size", "How big animals are, will be, and what of it they pass on.")
    command.add_argument("animals", metavar="ANIMAL", nargs="*", help="id or name; the biggest of each sex without")
    command.add_argument("--line", metavar="NAME", default="", help="also the odds that the animals are of this line")
    command.add_argument("--prior", type=float, metavar="CHANCE", default=0.2, help="those odds before its size (0.2)")
    _add_from(command)


def _add_day(command: argparse.ArgumentParser) -> None:
    """Add the options that say on which day, and over which records."""
    command.add_argument("--on", metavar="DATE", default="", help="as of this day, as in 2026-05-14; today without")
    _add_from(command)


def _season(commands: Commands) -> None:
    command = _command(commands, "season", "season", "Where every female stands in the year, and what is to come.")
    command.add_argument("--year", type=int, metavar="YEAR", help="season by the year of laying; the present without")
    command.add_argument("--all", action="store_true", help="also those of whom nothing is on record this season")
    _add_day(command)
    parts = command.add_subparsers(title="parts", metavar="PART")
    _season_plan(parts)


def _season_plan(commands: Commands) -> None:
    command = _command(commands, "plan", "season_plan", "Who goes with whom, for all projects at once.")
    command.add_argument("--year", type=int, metavar="YEAR", help="season by the year of laying; the next open without")
    command.add_argument("--lock", metavar="SIRE:DAM", action="append", default=[], help="a pair that stays")
    command.add_argument("--reserve", type=int, metavar="N", default=0, help="males to keep free (0)")
    command.add_argument("--mean", action="store_true", help="make room for the mean year, not for one bad year in ten")
    command.add_argument("--prices", action="store_true", help="also say what each limit costs, which takes longer")
    _add_day(command)


def _add_goal(command: argparse.ArgumentParser) -> None:
    """Add the options that say what is wanted."""
    command.add_argument("--want", metavar="TEXT", default="", help="a wish, such as 'female Enchi Clown'")
    command.add_argument("--share", metavar="LINE>=SHARE", default="", help="least share of a line, as Marrowfen>=0.5")
    command.add_argument("--by", type=int, metavar="YEAR", help="last year in which it should hatch")
    command.add_argument("--inbreeding", type=float, metavar="F", help="largest inbreeding of any young (0.125)")
    command.add_argument(
        "--accept", metavar="CODE", action="append", default=[], help="speak for a caution that bars pairings"
    )
    _add_day(command)


def _add_runs(command: argparse.ArgumentParser, runs: int) -> None:
    """Add the options of a rehearsal."""
    command.add_argument("--runs", type=int, metavar="N", default=runs, help=f"rehearsals ({runs})")
    command.add_argument("--seed", type=int, metavar="N", default=0, help="seed of the luck (0)")


def _mates(commands: Commands) -> None:
    command = _command(commands, "mates", "mates", "Every possible mate of an animal, the best first, and why.")
    command.add_argument("animal", metavar="ANIMAL", help="id or name")
    command.add_argument("--project", metavar="NAME", default="", help="a project on record, in place of --want")
    command.add_argument("--year", type=int, metavar="YEAR", help="season by the year of laying; the next open without")
    command.add_argument("--top", type=int, metavar="N", default=5, help="mates to tell of (5)")
    command.add_argument("--all", action="store_true", help="also say of each that cannot be paired why")
    _add_goal(command)


def _route(commands: Commands) -> None:
    command = _command(commands, "route", "route", "The crosses that lead to a goal, and how likely they are.")
    command.add_argument("project", metavar="PROJECT", nargs="?", default="", help="a project on record, or --want")
    _add_goal(command)
    _add_runs(command, 2000)


def _rehearse(commands: Commands) -> None:
    command = _command(commands, "rehearse", "rehearse", "Play the plan for a goal forward many times.")
    command.add_argument("project", metavar="PROJECT", nargs="?", default="", help="a project on record, or --want")
    _add_goal(command)
    _add_runs(command, 10000)
    command.add_argument("--workers", type=int, metavar="N", default=1, help="processes (1)")
    command.add_argument("--cluster", metavar="ADDRESS", default="", help="play on a Dask cluster, by its scheduler")


def _keep(commands: Commands) -> None:
    command = _command(commands, "keep", "keep", "Which hatchlings to hold back, and what may be said of the others.")
    command.add_argument(
        "clutches", metavar="CLUTCH", nargs="*", help="clutches to choose from; without, those of the last year"
    )
    command.add_argument("--tubs", type=int, metavar="N", default=2, help="young that can be held back (2)")
    command.add_argument("--project", metavar="NAME", default="", help="weigh for one project; all open ones without")
    command.add_argument(
        "--tub-eggs", type=float, metavar="N", default=0.0, help="worth of a tub for a year, in eggs (0)"
    )
    command.add_argument("--tub-money", type=float, metavar="N", help="what a young costs in a year, in your currency")
    command.add_argument("--sell", action="store_true", help="also say what may be said of those that are sold")
    _add_goal(command)
    _add_runs(command, 2000)


def _due(commands: Commands) -> None:
    command = _command(commands, "due", "due", "What is late, what falls due soon, and the prey wanted.")
    command.add_argument("--days", type=int, metavar="N", default=7, help="days to look ahead (7)")
    _add_day(command)


def _calendar(commands: Commands) -> None:
    command = _command(commands, "calendar", "calendar", "The season as an iCalendar file.")
    command.add_argument(
        "target", metavar="FILE", nargs="?", default="", help="file to write or to bring up to date; else printed"
    )
    command.add_argument("--year", type=int, metavar="YEAR", help="season by the year of laying; the present without")
    _add_day(command)


def _log(commands: Commands) -> None:
    command = _command(commands, "log", "log", "Write down one deed: a weight, a meal, a lock, a shed, a laying.")
    command.add_argument("animal", metavar="ANIMAL", nargs="?", default="", help="id or name")
    command.add_argument(
        "deed", metavar="DEED", nargs="?", default="", help="weight, fed, refused, together, lock, ..."
    )
    command.add_argument("value", metavar="VALUE", nargs="*", help="what belongs to it: 3165 g, 18 (mm), 8+1 (eggs)")
    command.add_argument("--with", dest="mate", metavar="ANIMAL", default="", help="the other animal")
    command.add_argument("--on", metavar="DATE", default="", help="the day, as in 2026-05-14; today without")
    command.add_argument("--until", metavar="DATE", default="", help="last day of what lasts")
    command.add_argument("--note", metavar="TEXT", default="", help="anything else; of a weight its condition")
    command.add_argument("--sure", action="store_true", help="it is right as it is: answers the questions")
    command.add_argument("--undo", metavar="NUMBER", default="", help="take a deed back, by the number printed")


def _backcross(commands: Commands) -> None:
    command = _command(commands, "backcross", "backcross", "Where breeding back to a line leads, cross by cross.")
    command.add_argument("--generations", type=int, metavar="N", default=5, help="backcrosses to show (5)")
    command.add_argument("--from-year", type=float, metavar="YEAR", help="year in which the first cross hatches")
    command.add_argument("--gene", metavar="TEXT", default="", help="plan how to carry this into a line, as 'Clown'")
    command.add_argument("--line", metavar="NAME", default="", help="the line, with --gene")
    command.add_argument("--inbreeding", type=float, metavar="F", help="largest inbreeding of any young (0.125)")
    command.add_argument("--accept", metavar="CODE", action="append", default=[], help="speak for a caution")
    _add_day(command)


def _line(commands: Commands) -> None:
    command = _command(commands, "line", "line", "Who of a line should breed in the next season, and how much.")
    command.add_argument("line", metavar="NAME", help="the line")
    command.add_argument("--rate", type=float, metavar="R", default=0.01, help="rise of the kinship allowed (0.01)")
    command.add_argument("--clutches", type=int, metavar="N", help="clutches to plan; half of the females without")
    command.add_argument("--share", type=float, metavar="SHARE", default=0.25, help="least share of the line (0.25)")
    command.add_argument(
        "--inbreeding", type=float, metavar="F", default=0.125, help="largest inbreeding of any young (0.125)"
    )
    _add_day(command)


def _prove(commands: Commands) -> None:
    command = _command(commands, "prove", "prove", "How the look of an odd animal is passed on, by its young so far.")
    command.add_argument("animal", metavar="ANIMAL", help="the odd animal: id or name")
    command.add_argument("--shown", metavar="ID", nargs="+", default=[], help="young and kin that show the same look")
    command.add_argument("--stronger", metavar="ID", nargs="+", default=[], help="those with a more extreme look")
    command.add_argument("--eggs", type=int, metavar="N", help=_EGGS)
    _add_from(command)


def _test_breed(commands: Commands) -> None:
    command = _command(commands, "test-breed", "testbreed", "Which mate would tell whether an animal carries a gene.")
    command.add_argument("animal", metavar="ANIMAL", help="the possible carrier: id or name")
    command.add_argument("--gene", metavar="GENE", required=True, help="trade name of the gene")
    command.add_argument("--eggs", type=int, metavar="N", help=_EGGS)
    command.add_argument(
        "--below", type=float, metavar="CHANCE", default=0.05, help="chance below which it counts as cleared (0.05)"
    )
    command.add_argument("--top", type=int, metavar="N", default=5, help="mates to list (5)")
    _add_from(command)


def _check(commands: Commands) -> None:
    command = _command(commands, "check", "check", "List everything in the records that cannot be, or does not fit.")
    command.add_argument("--no-conflicts", action="store_true", help="do not look for records that do not fit together")
    command.add_argument("--strict", action="store_true", help="end with status 1 for records that do not fit, too")
    _add_from(command)


def _import(commands: Commands) -> None:
    command = _command(
        commands,
        "import",
        "importing",
        "Bring in sheets (CSV, XLSX, ODS), pedigrees (PED, FAM) or a collection folder.",
    )
    command.add_argument("files", metavar="FILE", nargs="+", help="a sheet, a pedigree or a collection folder")
    command.add_argument(
        "--answers", metavar="FILE", help="answers to the questions, as the command printed them (TOML)"
    )
    command.add_argument("--dry-run", action="store_true", help="say what would be done, change nothing")


def _export(commands: Commands) -> None:
    command = _command(
        commands,
        "export",
        "exporting",
        "Write all records to a collection folder or an XLSX file, or the pedigree alone.",
    )
    command.add_argument("target", metavar="TARGET", help="a new folder, or a file that ends in .xlsx, .ped or .fam")
    command.add_argument(
        "--exact-places", action="store_true", help="write exact coordinates too; else to a tenth of a degree"
    )
    _add_from(command)


def _serve(commands: Commands) -> None:
    command = _command(commands, "serve", "serve", "Open the pages, on this computer only or in the home network.")
    command.add_argument("--port", type=int, default=8750, help="port on this computer (8750)")
    _add_way(command)


def _demo(commands: Commands) -> None:
    command = _command(commands, "demo", "demo", "Fill a database of its own with an invented collection and serve it.")
    command.add_argument("--port", type=int, default=8751, help="port on this computer (8751)")
    _add_way(command)
    command.add_argument("--no-serve", action="store_true", help="stop after the worked answer")
    command.add_argument("--fresh", action="store_true", help="start the demo over, forgetting what was changed in it")


def _add_way(command: argparse.ArgumentParser) -> None:
    """Options that say who is served, and how."""
    command.add_argument("--home", action="store_true", help="let phones of the home network in, by one-time addresses")
    command.add_argument("--certificate", metavar="FILE", default="", help="serve by HTTPS with this certificate (PEM)")
    command.add_argument("--key", metavar="FILE", default="", help="key of the certificate (PEM)")
    command.add_argument(
        "--own-certificate", action="store_true", help="make a certificate for this computer and serve by HTTPS"
    )
