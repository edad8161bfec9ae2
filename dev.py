"""The commands of a working day, with nothing but the standard library.

    python3 dev.py demo        make the environment, load the demo, serve it
    python3 dev.py test        everything the gate runs; exits non-zero if any step fails
    python3 dev.py lint        one step of it; the others are listed by --help
    python3 dev.py lock        compile the lock files again

On Windows say `py` for `python3`. Environments are made from the hash-locked files beside this one and made
again when a lock changes. No package address is read from, printed to or written in the project.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent
WINDOWS = os.name == "nt"
BIN, EXE = ("Scripts", ".exe") if WINDOWS else ("bin", "")
ENGINE_ROOMS = ("collection", "species", "descent", "heredity", "size", "season", "decisions", "answers", "intake")
ALSO_COMPILED = ("descent", "size")
"""Rooms of which some tests want a compiler, or pictures, that the engine's environment lacks."""
ON_BOTH = ("test_collection_page.py", "test_desk.py", "test_rounds.py", "/test_views.py", "test_decision_views.py")
"""Tests of pages and API that PostgreSQL sees too: search and lists, the log, many writers, whole collections."""
# In this order: the others take their versions from the first, so that every environment agrees.
LOCKS = ("requirements-dev", "requirements", "requirements-build", "requirements-engine", "requirements-tools")
# Halves in the order of the files, so that what a module needs is made once; who is through first takes over.
ON_TWO_CORES = ("-n", "2", "--dist", "worksteal")
ADDRESS = re.compile(r"\b(?:https?|file|git\+\w+)://\S+")


class Failed(Exception):
    """A step that did not pass, with one sentence for the reader."""


class NothingToDo(Exception):
    """A step whose folder is not there."""


# --- running things ---------------------------------------------------------------------------------------------


def shown(*command: str | Path, **variables: str) -> int:
    """Exit code of a command run in the project folder, its output shown as it comes."""
    return subprocess.call([str(part) for part in command], cwd=ROOT, env={**os.environ, **variables})


def run(*command: str | Path) -> None:
    """Run a command in sight; Failed if it does not end well."""
    if code := shown(*command):
        raise Failed(f"{' '.join(Path(part).name for part in command[:3])} ended with code {code}")


def quietly(*command: str | Path) -> str | None:
    """Run a command out of sight: None when it ended well, else the end of what it said, without addresses."""
    parts = [str(part) for part in command]
    try:
        done = subprocess.run(parts, check=False, cwd=ROOT, text=True, errors="replace", capture_output=True)
    except OSError as fault:
        return f"{parts[0]}: {type(fault).__name__}"
    said = ADDRESS.sub("(address)", done.stdout + done.stderr).splitlines()[-8:]
    return None if done.returncode == 0 else "\n".join(said) or f"code {done.returncode}, no message"


def say(text: str) -> None:
    """Print at once, so that lines keep their place among the output of the steps."""
    print(text, flush=True)


# --- environments -----------------------------------------------------------------------------------------------


def python_of(env: str) -> Path:
    """Path of an environment's interpreter."""
    return ROOT / env / BIN / f"python{EXE}"


def environment(env: str, *locks: str, package: bool = True) -> Path:
    """Interpreter of the environment `env`, made or brought up to date from the named locks."""
    python, stamp = python_of(env), ROOT / env / "holdback-stamp"
    sources = [ROOT / f"{name}.lock" for name in locks]
    digest = hashlib.sha256(b"".join(path.read_bytes() for path in sources) + (described() if package else b""))
    mark = "\n".join([sys.version, str(ROOT), digest.hexdigest()])
    if python.exists() and stamp.exists() and stamp.read_text("utf-8") == mark:
        return python
    say(f"making {env} from {', '.join(path.name for path in sources)}")
    same_place = stamp.exists() and stamp.read_text("utf-8").splitlines()[:-1] == mark.splitlines()[:-1]
    stamp.unlink(missing_ok=True)
    if not (python.exists() and same_place):
        fault = quietly(sys.executable, "-m", "venv", "--without-pip", "--clear", ROOT / env)
        if fault:
            raise Failed(f"Could not make {env}: {fault}")
    install(env, sources, package=package)
    stamp.write_text(mark, "utf-8")
    return python


def described() -> bytes:
    """What pyproject.toml says of the package, without the settings of the tools."""
    import tomllib  # new in 3.11: at the top it would hide the sentence about the version

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    return repr([project["build-system"], project["project"]]).encode()


def install(env: str, locks: list[Path], *, package: bool) -> None:
    """Install the locks, then the package itself, with uv if it can be had and with pip if not."""
    python, own = python_of(env), ["--no-deps", "--no-build-isolation", "--quiet", "-e", "."]
    uv = None if env == ".tools" else find_uv()
    if uv:
        fault = quietly(uv, "pip", "sync", "--quiet", "--require-hashes", "--python", python, *locks)
        if not fault and package:
            fault = quietly(uv, "pip", "install", "--python", python, *own)
        if not fault:
            return
        say(f"uv did not manage it, trying pip. It said:\n{fault}")
    named = [part for path in locks for part in ("-r", str(path))]
    fault = quietly(*pip_for(python), "install", "--quiet", "--require-hashes", *named)
    if not fault and package:
        fault = quietly(*pip_for(python), "install", *own)
    if fault:
        raise Failed(f"Could not fill {env}: {fault}")


def pip_for(python: Path) -> list[str]:
    """Command that starts pip for another environment: this interpreter's pip, else one put in there."""
    if quietly(sys.executable, "-m", "pip", "--python", str(python), "--version") is None:
        return [sys.executable, "-m", "pip", "--python", str(python), "--disable-pip-version-check"]
    fault = quietly(python, "-m", "ensurepip")
    if fault:
        raise Failed(f"Neither this Python nor its ensurepip has pip; install pip (Debian: python3-pip). {fault}")
    return [str(python), "-m", "pip", "--disable-pip-version-check"]


def find_uv() -> Path | None:
    """Path of the project's own uv, installed through pip; None where it cannot be installed."""
    try:
        environment(".tools", "requirements-tools", package=False)
    except Failed as fault:
        say(f"uv is not to be had here, so pip does the work. {fault}")
        return None
    return ROOT / ".tools" / BIN / f"uv{EXE}"


def development() -> Path:
    """Interpreter of the development environment."""
    return environment(".venv", "requirements-dev")


# --- the steps --------------------------------------------------------------------------------------------------


def need(*folders: str) -> None:
    """NothingToDo unless one of the folders or files is there."""
    if not any((ROOT / folder).exists() for folder in folders):
        raise NothingToDo(f"no {' or '.join(folders)} yet")


def pytest(python: Path, *arguments: str, marks: str = "", before: Sequence[str] = (), **variables: str) -> None:
    """Run pytest on what the marks choose, started by `before`; to find no test fails, unless -k was given."""
    chosen = " and ".join(f"({mark})" for mark in (marks, "not slow" if OPTIONS.fast else "") if mark)
    wanted = [*(["-m", chosen] if chosen else []), *(["-k", OPTIONS.k] if OPTIONS.k else [])]
    code = shown(python, *before, "-m", "pytest", "-q", *arguments, *wanted, **variables)
    if code and not (code == 5 and OPTIONS.k):
        raise Failed("no test was found" if code == 5 else f"pytest ended with code {code}")


def lint() -> None:
    """Locks, style, layout, spelling."""
    python = development()
    checks = {
        "locks": ["tools/locks.py"],
        "style": ["-m", "ruff", "check"],
        "layout": ["-m", "ruff", "format", "--check"],
        "spelling": ["-c", "import codespell_lib, sys; sys.exit(codespell_lib._script_main())"],
    }
    faults = [name for name, command in checks.items() if shown(python, *command)]
    if faults:
        raise Failed("see above: " + ", ".join(faults))


def types() -> None:
    """Types, strictly."""
    run(development(), "-m", "mypy")


def contract() -> None:
    """Which room may import which."""
    run(development().with_name(f"lint-imports{EXE}"), "--no-logo")


def engine() -> None:
    """The engine's tests where there is no Django."""
    rooms = [f"tests/{room}" for room in ENGINE_ROOMS if (ROOT / "tests" / room).exists()]
    need(*(rooms or ["tests/collection"]))
    python = environment(".venv-engine", "requirements-engine", "requirements-build")
    if quietly(python, "-c", "import django") is None:
        raise Failed("Django is in .venv-engine, so this job would prove nothing: mend requirements-engine.in")
    pytest(python, *ON_TWO_CORES, *rooms)


def doctests() -> None:
    """The examples in the docstrings."""
    settings = ["--ds=holdback.web.settings_test"] if (ROOT / "src/holdback/web/settings_test.py").exists() else []
    pytest(development(), "--doctest-modules", *settings, "src/holdback")


def unit() -> None:
    """Tests that need neither a browser nor a PostgreSQL server, and that the engine step did not run whole."""
    need("tests")
    ran = [f"--ignore=tests/{room}" for room in ENGINE_ROOMS if room not in ALSO_COMPILED]
    marks = "not browser and not postgres"
    pytest(development(), *ON_TWO_CORES, *ran, "tests", marks=marks, HOLDBACK_TEST_POSTGRES="")


def postgres() -> None:
    """The web tests on PostgreSQL, most screens left out: on the server HOLDBACK_TEST_POSTGRES names, or ours."""
    need("tests/web")
    python = development()
    start = [] if os.environ.get("HOLDBACK_TEST_POSTGRES") else ["tools/postgres.py", str(python)]
    screens = [one for room in ("pages", "api") for one in (ROOT / "tests/web" / room).glob("test_*.py")]
    left_out = [f"--ignore={one.relative_to(ROOT)}" for one in screens if not one.as_posix().endswith(ON_BOTH)]
    pytest(python, *ON_TWO_CORES, "tests/web", *left_out, marks="not browser", before=start)


def browser() -> None:
    """What a person does on the pages, in a real browser."""
    need("tests/browser", "tests/web")
    python = development()
    found = subprocess.run([python, "tools/browser.py"], check=False, cwd=ROOT, text=True, stdout=subprocess.PIPE)
    if found.returncode:
        raise Failed("no browser; the reason stands above")
    pytest(python, *ON_TWO_CORES, "tests", marks="browser", HOLDBACK_CHROMIUM=found.stdout.splitlines()[-1])


def docs() -> None:
    """The documentation, warnings as errors."""
    need("docs/conf.py")
    run(development(), "-m", "sphinx", "-q", "-W", "--keep-going", "-j", "2", "-b", "html", "docs", "docs/_build/html")


def bench() -> None:
    """The short form of the benchmarks."""
    need("benchmarks/run.py")
    run(development(), "benchmarks/run.py", "--short")


def verify() -> None:
    """Whether chances are right, on herds drawn at random; with --full the tables of the documentation."""
    need("verification/run.py")
    run(development(), "-m", "verification.run", *(["--full"] if OPTIONS.full else []))


def lock() -> None:
    """Compile the lock files again; newer versions only with --upgrade."""
    uv = find_uv()
    if uv is None:
        raise Failed("The locks are compiled by uv, which could not be installed.")
    for name in LOCKS:
        say(f"compiling {name}.lock")
        agree = [] if name == LOCKS[0] else ["-c", f"{LOCKS[0]}.lock"]
        fixed = ["--universal", "--generate-hashes", "--no-emit-index-url", "--no-header", "--python-version", "3.11"]
        newer = ["--upgrade"] if OPTIONS.upgrade else []
        fault = quietly(uv, "pip", "compile", *fixed, *newer, *agree, f"{name}.in", "-o", f"{name}.lock")
        if fault:
            raise Failed(fault)
    run(development(), "tools/locks.py")


def demo() -> None:
    """Make the environment, load the demo, print a worked answer, serve it."""
    python = environment(".venv-app", "requirements", "requirements-build")
    asked = ["--port", str(OPTIONS.port)] if OPTIONS.port else []
    asked += ["--no-serve"] if OPTIONS.no_serve else []
    asked += ["--fresh"] if OPTIONS.fresh else []
    command = [str(python.with_name(f"holdback{EXE}")), "demo", *asked]
    if not WINDOWS:  # become the program, so that a signal to stop reaches it
        os.execv(command[0], command)
    try:
        sys.exit(subprocess.call(command))
    except KeyboardInterrupt:
        sys.exit(0)


STEPS: dict[str, Callable[[], None]] = {
    step.__name__: step
    for step in (lint, types, contract, engine, doctests, unit, verify, postgres, browser, docs, bench)
}
SLOW_STEPS = {"verify", "postgres", "browser", "docs", "bench"}


def take(names: Sequence[str]) -> int:
    """Take the steps one after the other, whatever fails, and tell at the end how each went."""
    lines, failed = [], 0
    for name in names:
        say(f"\n=== {name}: {(STEPS[name].__doc__ or '').partition(chr(10))[0]}")
        start = time.monotonic()
        try:
            STEPS[name]()
            outcome = "passed"
        except NothingToDo as reason:
            outcome = f"nothing to do: {reason}"
        except Failed as fault:
            outcome, failed = f"FAILED: {fault}", failed + 1
        lines.append(f"{name:<9} {time.monotonic() - start:6.1f} s  {outcome}")
        say(f"--- {lines[-1]}")
    say("\n=== all steps\n" + "\n".join(lines))
    say(f"{failed} of {len(lines)} steps failed" if failed else f"all {len(lines)} steps went through")
    return 1 if failed else 0


def options() -> argparse.Namespace:
    """What was asked for on the command line."""
    parser = argparse.ArgumentParser(prog="dev.py", description=(__doc__ or "").split("\n\n")[0])
    commands = parser.add_subparsers(dest="command", required=True, metavar="command")
    one = commands.add_parser("demo", help=demo.__doc__)
    one.add_argument("--port", type=int, help="port to serve on")
    one.add_argument("--no-serve", action="store_true", help="stop after the worked answer")
    one.add_argument("--fresh", action="store_true", help="begin with a new demo collection")
    every = commands.add_parser("test", help="All the steps below.")
    every.add_argument("--no-browser", action="store_true", help="leave the browser tests out")
    every.add_argument("--fast", action="store_true", help="leave out slow tests and " + ", ".join(sorted(SLOW_STEPS)))
    for name, step in STEPS.items():
        commands.add_parser(name, help=step.__doc__)
    for name in ("test", "engine", "doctests", "unit", "postgres", "browser"):
        commands.choices[name].add_argument("-k", metavar="WORDS", help="only tests whose names match")
    commands.choices["verify"].add_argument("--full", action="store_true", help="many herds, and write the tables")
    commands.add_parser("lock", help=lock.__doc__).add_argument("--upgrade", action="store_true")
    parser.set_defaults(fast=False, no_browser=False, k=None, upgrade=False, full=False)
    return parser.parse_args()


def main() -> int:
    """Do what was asked and return the exit code."""
    try:
        if OPTIONS.command in ("demo", "lock"):
            {"demo": demo, "lock": lock}[OPTIONS.command]()
            return 0
    except Failed as fault:
        say(str(fault))
        return 1
    if OPTIONS.command != "test":
        return take([OPTIONS.command])
    left_out = (SLOW_STEPS if OPTIONS.fast else set()) | ({"browser"} if OPTIONS.no_browser else set())
    return take([name for name in STEPS if name not in left_out])


if __name__ == "__main__":
    if sys.version_info < (3, 11):
        sys.exit("Holdback needs Python 3.11 or newer; this is " + sys.version.split()[0] + ".")
    os.environ["PYTHONUTF8"] = "1"
    # Each module is compiled once, and not again by each of the hundred processes of a test run.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = str(ROOT / ".bytecode_cache")
    OPTIONS = options()
    sys.exit(main())
