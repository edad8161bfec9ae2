"""What the quick commands must not import: it would cost the start."""

import subprocess
import sys

import pytest

HEAVY = ("numpy", "scipy", "django", "rich", "openpyxl", "python_calamine")


@pytest.mark.parametrize("arguments", [["read", "Pastel het Clown"], ["odds", "Pastel", "Clown het Pied"]])
def test_main__quick_commands_import_nothing_heavy(arguments: list[str]) -> None:
    script = (
        "import sys; from holdback.cli import main; status = main(sys.argv[1:]);"
        f"print('heavy:', [name for name in {HEAVY!r} if name in sys.modules]); sys.exit(status)"
    )
    done = subprocess.run([sys.executable, "-c", script, *arguments], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "heavy: []"
