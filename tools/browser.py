"""Write the path of a browser that starts, as the last line: one found here, else one fetched.

The line is empty for the browser driver's own. Exit code 1, and one sentence, when there is none to be had.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import Error, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge", "microsoft-edge")
PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)


def does_start(path: str) -> bool:
    """Whether the browser at `path` ('' for the driver's own) opens."""
    try:
        with sync_playwright() as driver:
            driver.chromium.launch(executable_path=path or None, args=["--no-sandbox", "--disable-gpu"]).close()
    except Error:
        return False
    return True


def did(*command: str, seconds: int) -> bool:
    """Whether a command ended well in time; what it says is kept from the screen, as it may hold addresses."""
    try:
        done = subprocess.run(command, check=False, timeout=seconds, capture_output=True)
    except (OSError, subprocess.TimeoutExpired):
        return False
    return done.returncode == 0


def candidates() -> list[str]:
    """Browsers found on this computer, likeliest first."""
    found = [path for name in NAMES if (path := shutil.which(name))]
    return [*found, *(place for place in PLACES if Path(place).exists()), ""]


def fetched() -> str | None:
    """A browser fetched by the driver or by Debian; None if neither could."""
    print("No browser here starts; asking the browser driver for its own.", flush=True)
    if did(sys.executable, "-m", "playwright", "install", "chromium", seconds=400) and does_start(""):
        return ""
    if sys.platform == "linux" and shutil.which("apt-get") and os.geteuid() == 0:
        print("The driver could not; installing Debian's chromium.", flush=True)
        os.environ["DEBIAN_FRONTEND"] = "noninteractive"
        patient = ("-o", "DPkg::Lock::Timeout=300")
        did("apt-get", *patient, "update", seconds=600)
        did("apt-get", *patient, "install", "-y", "--no-install-recommends", "chromium", seconds=1500)
        path = shutil.which("chromium")
        if path and does_start(path):
            return path
    return None


def main() -> None:
    """Find one, or say that there is none."""
    named = os.environ.get("HOLDBACK_CHROMIUM")
    if named and not does_start(named):
        sys.exit(f"HOLDBACK_CHROMIUM names {named}, which does not start: correct it, unset it, or use --no-browser.")
    path = named or next((path for path in candidates() if does_start(path)), None)
    if path is None:
        path = fetched()
    if path is None:
        sys.exit("No browser could be found or installed: install Chromium or Chrome, or use dev.py test --no-browser.")
    print(path)


if __name__ == "__main__":
    main()
