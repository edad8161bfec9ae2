"""Check the lock files: every wanted package is in, no address or path of a machine is."""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LOCAL = re.compile(r"^\s*(?:-i|-f|--(?:extra-)?index|--find-links)|://|/home/|/root/|/Users/|\\Users\\", re.MULTILINE)


def wanted(source: Path) -> list[str]:
    """Lines of an .in file that name a package."""
    lines = (line.split("#")[0].strip() for line in source.read_text("utf-8").splitlines())
    return [line for line in lines if line and not line.startswith("-")]


def faults(source: Path) -> list[str]:
    """What is wrong with the lock that belongs to an .in file."""
    lock = source.with_suffix(".lock")
    text = lock.read_text("utf-8")
    found = [
        f"{lock.name}, line {text.count(chr(10), 0, hit.start()) + 1}: holds an address or a path"
        for hit in LOCAL.finditer(text)
    ]
    for want in wanted(source):
        name = re.split(r"[^A-Za-z0-9._-]", want)[0].lower()
        if not re.search(rf"^{re.escape(name)}==", text, re.MULTILINE):
            found.append(f"{lock.name}: lacks {name}; run dev.py lock")
    return found


def main() -> None:
    """Print every fault; exit code 1 if there is one."""
    found = [fault for source in sorted(ROOT.glob("requirements*.in")) for fault in faults(source)]
    declared = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    if sorted(declared) != sorted(wanted(ROOT / "requirements.in")):
        found.append("pyproject.toml and requirements.in differ in the packages they want")
    print("\n".join(found) or "Locks are in order.")
    sys.exit(bool(found))


if __name__ == "__main__":
    main()
