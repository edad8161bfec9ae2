"""Settings from the environment, the data folder and its secret."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command

from holdback.web.data_folder import data_folder, secret_of
from holdback.web.database import postgres


def run(code: str, **variables: str) -> subprocess.CompletedProcess[str]:
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("HOLDBACK", "DJANGO"))}
    return subprocess.run(
        [sys.executable, "-c", code], check=False, capture_output=True, text=True, env={**clean, **variables}
    )


def test_data_folder__by_platform() -> None:
    home = Path.home()
    assert data_folder({}, platform="linux") == home / ".local/share/holdback"
    assert data_folder({}, platform="darwin") == home / "Library/Application Support/Holdback"
    assert data_folder({"LOCALAPPDATA": "L"}, platform="win32") == Path("L/Holdback")
    assert data_folder({"HOLDBACK_DATA": "~/barn"}, platform="win32") == home / "barn"


def test_secret_of__made_once_and_for_the_owner_only(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "data"
    first = secret_of(folder)
    assert len(first) >= 50
    assert secret_of(folder) == first
    assert [path.name for path in folder.iterdir()] == ["secret"]
    if os.name == "posix":
        assert stat.S_IMODE((folder / "secret").stat().st_mode) == 0o600
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700


@pytest.mark.parametrize(
    "address, expected",
    [
        ("postgresql:///barn", ("", "", "barn", "")),
        ("postgresql://keeper:p%2Fw@[::1]:5433/barn", ("::1", "5433", "barn", "keeper")),
        ("postgres://keeper@/barn?host=/run/postgresql", ("/run/postgresql", "", "barn", "keeper")),
    ],
)
def test_postgres__reads_the_address(address: str, expected: tuple[str, str, str, str]) -> None:
    found = postgres(address)
    assert (found["HOST"], found["PORT"], found["NAME"], found["USER"]) == expected


@pytest.mark.parametrize("address", ["mysql://keeper:secret@db/barn", "postgresql://keeper:secret@db/", "barn:secret"])
def test_postgres__refuses_without_telling_the_password(address: str) -> None:
    with pytest.raises(ValueError, match=r"begins with|names no database") as error:
        postgres(address)
    assert "secret" not in str(error.value)


def test_settings__faults_are_told_together_at_start(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = run(
        "from holdback.web.__main__ import main; import sys; sys.argv = ['x', 'check']; main()",
        HOLDBACK_DATA=str(tmp_path / "file" / "below"),
        HOLDBACK_DATABASE_URL="mysql://db/barn",
        HOLDBACK_TIME_ZONE="Atlantis/Centre",
    )
    assert done.returncode == 1
    for said in ("holdback.E001", "cannot be written", "Set HOLDBACK_DATA", "mysql://", "'Atlantis/Centre'"):
        assert said in done.stderr


def test_settings__sqlite_in_the_data_folder(tmp_path: Path) -> None:
    done = run(
        "import os, django; os.environ['DJANGO_SETTINGS_MODULE'] = 'holdback.web.settings'; django.setup()\n"
        "from django.core.management import call_command; call_command('migrate', verbosity=0)\n"
        "from django.db import connection, transaction\n"
        "with connection.cursor() as c:\n"
        "    asked = ('journal_mode', 'foreign_keys', 'busy_timeout')\n"
        "    print([c.execute('PRAGMA ' + name).fetchone()[0] for name in asked])\n"
        "from django.utils import timezone, formats; import datetime\n"
        "print(formats.date_format(datetime.date(2024, 7, 8)), timezone.get_default_timezone())",
        HOLDBACK_DATA=str(tmp_path),
        HOLDBACK_TIME_ZONE="Europe/Vienna",
    )
    assert done.stderr == ""
    assert done.stdout.splitlines() == ["['wal', 1, 20000]", "8 Jul 2024 Europe/Vienna"]
    assert (tmp_path / "holdback.sqlite3").is_file()


@pytest.mark.django_db
def test_migrations__say_all_that_the_models_say() -> None:
    call_command("makemigrations", "records", "jobs", check=True, dry_run=True, verbosity=0)
