"""The check of the lock files."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent.parent
GOOD = "lark==1.3.1 \\\n    --hash=sha256:00\n    # via -r wanted.in\n"


@pytest.fixture
def locks() -> ModuleType:
    """The script as a module."""
    spec = importlib.util.spec_from_file_location("locks", ROOT / "tools/locks.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _source(folder: Path, *, wants: str, lock: str) -> Path:
    source = folder / "wanted.in"
    source.write_text(wants, "utf-8")
    source.with_suffix(".lock").write_text(lock, "utf-8")
    return source


def test_faults__none_in_a_good_lock(locks: ModuleType, tmp_path: Path) -> None:
    assert locks.faults(_source(tmp_path, wants="# reader\nlark>=1.3  # small\n-r other.in\n", lock=GOOD)) == []


@pytest.mark.parametrize(
    "line",
    ["--index-url somewhere", "    # from https://index.invalid/simple", "-f wheels", "# via /home/someone/x.in"],
)
def test_faults__an_address_or_a_path(locks: ModuleType, tmp_path: Path, line: str) -> None:
    source = _source(tmp_path, wants="lark\n", lock=GOOD + line + "\n")
    assert locks.faults(source) == ["wanted.lock, line 4: holds an address or a path"]


def test_faults__a_package_that_was_not_locked(locks: ModuleType, tmp_path: Path) -> None:
    source = _source(tmp_path, wants="lark\nnumpy>=2\n", lock=GOOD)
    assert locks.faults(source) == ["wanted.lock: lacks numpy; run dev.py lock"]
