"""Every code is documented, and every code can be met."""

from __future__ import annotations

import re
from pathlib import Path

from holdback.heredity.shorthand import CODES, read
from holdback.species.catalogue import load

_ROOT = Path(__file__).parents[3]
_PAGE = (_ROOT / "docs" / "reference" / "shorthand.md").read_text(encoding="utf-8")
_SOURCE = "".join(path.read_text(encoding="utf-8") for path in (_ROOT / "src/holdback/heredity/shorthand").glob("*.py"))


def test_codes__are_documented_with_their_level() -> None:
    documented = dict(re.findall(r"^\| `([a-z-]+)` \| (note|ask|fault) \|", _PAGE, flags=re.MULTILINE))
    assert documented == {code: text.level for code, text in CODES.items()}


def test_codes__of_errors_are_documented() -> None:
    codes = set(re.findall(r"SHO-\d{3}", _SOURCE))
    assert codes == set(re.findall(r"SHO-\d{3}", _PAGE))


def test_codes__are_all_met_by_a_written_line() -> None:
    lines = (Path(__file__).parent / "lines.toml").read_text(encoding="utf-8")
    used = {code for codes in re.findall(r"codes = \[(.*?)\]", lines) for code in re.findall(r'"([a-z-]+)"', codes)}
    assert set(CODES) == used


def test_codes__level_is_on_the_warning() -> None:
    warning = read("Clwon", load()).warnings[0]
    assert (warning.code, warning.level, warning.start, warning.end) == ("unread", "ask", 0, 5)
    assert warning.message == "'Clwon' was not read. Nearest known name: Clown."
