"""Play the worked scenario through the real program: from an empty book to the month's papers.

Usage: demo_story.py FOLDER. Every step is a command a maker would type; the day moves with the
story. What the commands print is shown, and at the end the path of every file that was written.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def run(folder: Path, day: str, command: list[str]) -> None:
    """Type one command on one day, showing it and what it says."""
    print(f"\n[{day}] $ benchledger {' '.join(command)}", flush=True)
    environment = os.environ | {
        "BENCHLEDGER_BOOK": str(folder / "shop.sqlite"),
        "BENCHLEDGER_TODAY": day,
    }
    program = [sys.executable, "-m", "ledger", *command]
    done = subprocess.run(program, cwd=ROOT, env=environment, check=False)
    if done.returncode:
        sys.exit(f"the story stopped at: benchledger {' '.join(command)}")


def main(folder: Path) -> None:
    """Tell the whole story into a fresh folder."""
    if folder.exists():
        if not (folder / "shop.sqlite").exists() and any(folder.iterdir()):
            sys.exit(f"{folder} holds other things; name an empty or a new folder.")
        shutil.rmtree(folder)
    folder.mkdir(parents=True)
    from demo_steps import steps

    for day, command in steps(folder):
        run(folder, day, command)
    print("\nWritten:")
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            print(f"  {path}")
    program = Path(sys.executable).with_name("benchledger")
    print("\nThe page for phones and tablets, on this book (README.md says more):")
    print(f"  {program} --book {folder / 'shop.sqlite'} serve --lan")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "demo").resolve())
