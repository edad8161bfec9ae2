"""Every command and option is documented."""

import argparse
from pathlib import Path

from holdback.cli.parser import argument_parser

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "commands.md"


def test_commands_page__names_every_command_and_option() -> None:
    page = PAGE.read_text(encoding="utf-8")
    (actions,) = (each for each in argument_parser()._actions if isinstance(each, argparse._SubParsersAction))
    for name, command in actions.choices.items():
        section = page.partition(f"\n## {name}\n")[2].partition("\n## ")[0]
        assert section, f"no section on {name}"
        options = {option for action in command._actions for option in action.option_strings if option.startswith("--")}
        missing = {option for option in options - {"--help"} if option not in section}
        assert not missing, f"{name}: {missing} not documented"
