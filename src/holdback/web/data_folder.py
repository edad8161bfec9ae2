"""Where the records of this user live, without Django, so that a command can say it quickly."""

from __future__ import annotations

import os
import secrets
import sys
from collections.abc import Mapping
from pathlib import Path


def data_folder(environment: Mapping[str, str] | None = None, *, platform: str = sys.platform) -> Path:
    r"""Folder of the database, the secret and the backups; it need not exist yet.

    Parameters
    ----------
    environment : mapping of str to str, optional
        Variables to look in; those of the process if left out. ``HOLDBACK_DATA`` names the folder outright.
    platform : str
        As ``sys.platform``.

    Returns
    -------
    Path
        ``HOLDBACK_DATA`` if set; else ``%LOCALAPPDATA%\Holdback`` on Windows, ``~/Library/Application
        Support/Holdback`` on macOS, ``$XDG_DATA_HOME/holdback`` or ``~/.local/share/holdback`` elsewhere.

    Examples
    --------
    >>> data_folder({"HOLDBACK_DATA": "records"}).name
    'records'
    >>> data_folder({"XDG_DATA_HOME": "share"}, platform="linux").as_posix()
    'share/holdback'
    """
    env = os.environ if environment is None else environment
    if chosen := env.get("HOLDBACK_DATA"):
        return Path(chosen).expanduser()
    if platform == "win32":
        local = env.get("LOCALAPPDATA")
        return (Path(local) if local else Path.home() / "AppData" / "Local") / "Holdback"
    if platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "Holdback"
    share = env.get("XDG_DATA_HOME")
    return (Path(share) if share else Path.home() / ".local" / "share") / "holdback"


def secret_of(folder: Path) -> str:
    """Secret that signs the sessions, from the file ``secret`` in the folder; made there on first use.

    Parameters
    ----------
    folder : Path
        The data folder; made, open to its owner only, where it is missing.

    Returns
    -------
    str
        At least 50 characters.

    Raises
    ------
    OSError
        If the folder cannot be written.
    """
    path = folder / "secret"
    try:
        return path.read_text("utf-8").strip()
    except FileNotFoundError:
        pass
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    # Written whole beside the name and then linked to it: a second process either finds all of it or makes none.
    fresh = folder / f"secret-{os.getpid()}"
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(secrets.token_urlsafe(48))
    try:
        if not path.exists():
            fresh.replace(path)
    finally:
        fresh.unlink(missing_ok=True)
    return path.read_text("utf-8").strip()
