"""S0: a command from nothing, as a whole process."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import measuring

ROOT = Path(__file__).resolve().parents[1]
COMMAND = [sys.executable, "-m", "holdback", "odds", "Pastel", "Clown het Pied", "--json"]


def _processor() -> float:
    """Processor seconds that ended child processes took."""
    used = os.times()
    return used.children_user + used.children_system


def run(*, runs: int) -> Iterator[measuring.Measured]:
    """Figures of the command; one call before the clock writes the bytecode."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    elapsed, worked, bare = [], [], []
    for number in range(runs + 1):
        before, start = _processor(), time.perf_counter()
        done = subprocess.run(COMMAND, check=True, cwd=ROOT, env=environment, capture_output=True, text=True)
        if number:
            elapsed.append(time.perf_counter() - start)
            worked.append(_processor() - before)
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", "pass"], check=True, env=environment)
        bare.append(time.perf_counter() - start)
        chances = {outcome["label"]: outcome["probability"] for outcome in json.loads(done.stdout)["outcomes"]}
        if chances != {"normal": 0.5, "Pastel": 0.5}:
            raise measuring.WrongError(f"S0: half are Pastel and half normal, not {chances}")
    yield measuring.alone(
        "S0",
        "cold start of holdback odds, whole process",
        elapsed,
        limit=0.3,
        processor_seconds=statistics.median(worked),
        bare_python_seconds=statistics.median(bare),
    )
