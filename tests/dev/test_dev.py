"""The commands of the working day."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture
def dev() -> ModuleType:
    """The script as a module."""
    spec = importlib.util.spec_from_file_location("dev", ROOT / "dev.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_steps__are_all_in_the_how_to(dev: ModuleType) -> None:
    page = (ROOT / "docs/how-to/work-on-holdback.md").read_text("utf-8")
    commands = [*dev.STEPS, "demo", "test", "lock"]
    assert [name for name in commands if f"`python3 dev.py {name}`" not in page] == []


def test_take__goes_on_after_a_failure_and_tells(
    dev: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def bad() -> None:
        """Bad."""
        raise dev.Failed("it rained")

    def absent() -> None:
        """Absent."""
        dev.need("no/such/folder")

    taken: list[str] = []
    monkeypatch.setattr(dev, "STEPS", {"bad": bad, "absent": absent, "good": lambda: taken.append("good")})
    assert dev.take(["bad", "absent", "good"]) == 1
    assert taken == ["good"]
    said = capsys.readouterr().out
    assert "FAILED: it rained" in said
    assert "nothing to do: no no/such/folder yet" in said
    assert said.endswith("1 of 3 steps failed\n")


def test_take__ends_well_when_nothing_failed(dev: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dev, "STEPS", {"good": lambda: None})
    assert dev.take(["good"]) == 0


def test_quietly__keeps_addresses_to_itself(dev: ModuleType) -> None:
    said = dev.quietly(sys.executable, "-c", "import sys; sys.exit('no answer from https://index.invalid/simple/x')")
    assert said == "no answer from (address)"


def test_quietly__is_silent_when_all_went_well(dev: ModuleType) -> None:
    assert dev.quietly(sys.executable, "-c", "print('fine')") is None
