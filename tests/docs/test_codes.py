"""Every code of a fault that the program can tell is documented."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_docs__name_every_code() -> None:
    code = re.compile(r'"([A-Z]{3,4}-\d{3})"')
    told = {found for path in (ROOT / "src").rglob("*.py") for found in code.findall(path.read_text(encoding="utf-8"))}
    pages = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "docs").rglob("*.md"))
    assert len(told) > 100
    assert not sorted(each for each in told if each not in pages)
