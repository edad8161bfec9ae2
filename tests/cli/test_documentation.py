"""Every command and option is documented."""

import argparse
from collections.abc import Iterator
from pathlib import Path

from holdback.cli.parser import argument_parser

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "commands.md"


def commands(parser: argparse.ArgumentParser, before: str = "") -> Iterator[tuple[str, argparse.ArgumentParser]]:
    """Every command by its whole name, "season plan" among them."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, command in action.choices.items():
                yield f"{before}{name}", command
                yield from commands(command, f"{before}{name} ")


def test_commands_page__names_every_command_and_option() -> None:
    page = PAGE.read_text(encoding="utf-8")
    for name, command in commands(argument_parser()):
        section = page.partition(f"\n## {name}\n")[2].partition("\n## ")[0]
        assert section, f"no section on {name}"
        options = {option for action in command._actions for option in action.option_strings if option.startswith("--")}
        missing = {option for option in options - {"--help"} if option not in section}
        assert not missing, f"{name}: {missing} not documented"
