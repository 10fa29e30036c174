"""Build the wheel, install it in clean environments, and type the README outside the checkout.

scripts/check-wheel [PYTHON ...]    the Pythons to try; all fitting ones that are found otherwise

The README's commands run in a folder of their own with `sample_data` given by its path. They must
say what the checkout's own program says, so package data that the wheel lacks is found. Nothing is
written into the checkout. It fetches packages, so it is no part of scripts/test.
"""

import argparse
import os
import shlex
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from readme_story import README, typed_commands

ROOT = Path(__file__).parents[1]
DATA = ("book/migrations/0001_ground.sql", "labor/standards.csv", "pages/static/bench.js")
SOURCES = ("ledger", "pyproject.toml", "README.md", "LICENSE")
PROOF = "import ledger, sys; print(sys.version.split()[0], ledger.__file__)"


def run(words: list[Any], folder: Path, **env: str) -> subprocess.CompletedProcess[str]:
    """A command in a folder, with nothing of this checkout in its environment."""
    mine = {name: value for name, value in os.environ.items()
            if not name.startswith(("PYTHON", "BENCHLEDGER", "VIRTUAL_ENV", "PIP_"))}  # fmt: skip
    return subprocess.run(
        [str(word) for word in words], cwd=folder, env=mine | env,
        capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip


def must(words: list[Any], folder: Path) -> str:
    """What a command says; the run ends where it fails."""
    done = run(words, folder)
    if done.returncode:
        raise SystemExit(f"{' '.join(map(str, words))} failed:\n{done.stdout}{done.stderr}")
    return done.stdout.strip()


def build_wheel(python: Path, folder: Path) -> Path:
    """The wheel of this checkout, built from a copy of what is packed."""
    source = folder / "source"
    source.mkdir()
    for name in SOURCES:
        if (ROOT / name).is_dir():
            shutil.copytree(
                ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__")
            )
        else:
            shutil.copy(ROOT / name, source / name)
    must([python, "-m", "venv", folder / "builder"], folder)
    pip = [folder / "builder/bin/python", "-m", "pip", "--disable-pip-version-check", "wheel"]
    must([*pip, "--quiet", "--no-deps", "-w", folder / "wheel", source], folder)
    return next((folder / "wheel").glob("*.whl"))


def missing_from(wheel: Path) -> list[str]:
    """Files of the package, other than caches, that the wheel does not hold."""
    held = set(zipfile.ZipFile(wheel).namelist())
    package = ROOT / "ledger"
    files = [path for path in package.rglob("*") if path.is_file()]
    there = {path.relative_to(ROOT).as_posix() for path in files if "__pycache__" not in path.parts}
    assert {f"ledger/{name}" for name in DATA} <= there
    return sorted(there - held)


def by_path(word: str) -> str:
    """A word of the README that names sample data, as its full path."""
    return str(ROOT / word) if word.startswith("sample_data/") else word


def typed(program: Path, folder: Path) -> Iterator[tuple[str, int, str]]:
    """Type the README's commands: each with its exit code and what it says."""
    folder.mkdir()
    env = {"COLUMNS": "80", "NO_COLOR": "1", "PYTHONWARNINGS": "error"}
    for command in typed_commands(README.read_text(encoding="utf-8")):
        words = shlex.split(command.command)
        if words[0] == "export":
            name, _, value = words[1].partition("=")
            env[name] = os.path.expandvars(value)
            continue
        if words[0] == "mkdir":
            (folder / words[1]).mkdir()
            continue
        kept = words.index(">") if ">" in words else len(words)
        done = run([program, *map(by_path, words[1:kept])], folder, **env)
        yield command.command, done.returncode, done.stdout + done.stderr


def installed(python: Path, wheel: Path, folder: Path) -> Path:
    """A clean environment of this Python with the wheel in it."""
    must([python, "-m", "venv", folder], folder.parent)
    mine = folder / "bin/python"
    pip = [mine, "-m", "pip", "--disable-pip-version-check", "install", "--quiet"]
    must([*pip, "-c", ROOT / "scripts/constraints.txt", wheel], folder)
    must([mine, "-m", "pip", "check"], folder)
    version, place = must([mine, "-c", PROOF], folder).split(maxsplit=1)
    assert str(ROOT) not in place, place
    print(f"Python {version}: installed from the wheel alone")
    return folder / "bin/benchledger"


def differences(told: list[tuple[str, int, str]], right: list[tuple[str, int, str]]) -> list[str]:
    """The commands that failed, or said something else than the checkout does."""
    pairs = list(zip(told, right, strict=True))
    wrong = [mine for mine, its in pairs if mine[1] or mine != its]
    print(f"  {len(told) - len(wrong)} of {len(told)} commands of the README run,"
          " and say what the checkout says")  # fmt: skip
    return [f"{command}: exit {code}\n{said}" for command, code, said in wrong]


def pythons() -> list[Path]:
    """One Python of each minor version that fits, those of pyenv before those on the PATH."""
    found: dict[str, Path] = {}
    for minor in ("3.12", "3.13", "3.14"):
        kept = sorted((Path.home() / ".pyenv/versions").glob(f"{minor}.*/bin/python3"))
        on_path = shutil.which(f"python{minor}")
        if kept or on_path:
            found[minor] = kept[-1] if kept else Path(on_path or "")
    return list(found.values()) or [Path(sys.executable)]


def main() -> None:
    """Read the command line, try each Python, and end with 1 if anything was wrong."""
    parser = argparse.ArgumentParser(description="Build the wheel and try it outside the checkout.")
    parser.add_argument("python", nargs="*", type=Path)
    asked = parser.parse_args().python or pythons()
    wrong: list[str] = []
    with tempfile.TemporaryDirectory(prefix="check-wheel-") as name:
        folder = Path(name)
        wheel = build_wheel(asked[0], folder)
        print(f"{wheel.name}: {wheel.stat().st_size:,} bytes, "
              f"{len(zipfile.ZipFile(wheel).namelist())} files")  # fmt: skip
        wrong += [f"The wheel lacks {missing}." for missing in missing_from(wheel)]
        right = list(typed(ROOT / ".venv/bin/benchledger", folder / "checkout"))
        for number, python in enumerate(asked):
            program = installed(python, wheel, folder / f"python{number}")
            wrong += differences(list(typed(program, folder / f"desk{number}")), right)
    for sentence in wrong:
        print(sentence, file=sys.stderr)
    raise SystemExit(bool(wrong))


if __name__ == "__main__":
    main()
