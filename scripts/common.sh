# Read by scripts/test and scripts/demo: finds a Python, makes .venv once, and then stays out of the
# way. Kept to what bash 3.2 knows, because that is what a Mac carries.

root=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
venv=$root/.venv
python=$venv/bin/python
stamp=$venv/.set-up

# Neither another Python's folders nor the owner's real book may reach what runs from here.
unset PYTHONHOME PYTHONPATH BENCHLEDGER_BOOK BENCHLEDGER_TODAY
# The program is compiled once, as where it is installed, and not by every process that starts.
unset PYTHONDONTWRITEBYTECODE

say() { printf '%s\n' "$*" >&2; }
give_up() { say "$*"; exit 1; }

# Prints the interpreter itself (not a shim, nor a virtual environment that leans on it) and ends
# with 0, or prints what it lacks and ends with 1.
probe='
import sys
if sys.version_info < (3, 12) or sys.implementation.name != "cpython":
    print("is " + sys.implementation.name + " " + sys.version.split()[0])
    sys.exit(1)
import sysconfig
lacks = []
for name in ("venv", "ensurepip", "ssl", "sqlite3"):
    try:
        __import__(name)
    except Exception:  # a half-built module raises more than ImportError
        lacks.append(name)
if "sqlite3" not in lacks and sys.modules["sqlite3"].sqlite_version_info < (3, 37):
    lacks.append("SQLite 3.37 (it has " + sys.modules["sqlite3"].sqlite_version + ")")
if sysconfig.get_config_var("Py_GIL_DISABLED"):
    lacks.append("the global lock that the packages were built for")
if lacks:
    print("lacks " + ", ".join(lacks))
    sys.exit(1)
print(sys._base_executable or sys.executable)
'

# Prints every place where a fitting Python may be, the newest of each kind first.
places() {
  local name place
  for name in python3.14 python3.13 python3.12 python3; do
    type -a -p "$name" || true
  done
  for place in "${PYENV_ROOT:-${HOME:-}/.pyenv}"/versions/*/bin/python3; do
    if [ -x "$place" ]; then printf '%s\n' "$place"; fi
  done | sort -rV
  if type -p uv >/dev/null; then
    uv python find --system '>=3.12' 2>/dev/null || true
  fi
}

# Sets `base` to the first Python that proves by running that it has what is needed.
find_python() {
  local place answer tried=''
  while IFS= read -r place; do
    if answer=$("$place" -I -c "$probe" 2>/dev/null </dev/null); then
      base=$answer
      return
    fi
    tried="$tried
  $place ${answer:-does not run}"
  done < <(places)
  give_up "No fitting Python was found. Bench Ledger needs CPython 3.12 or newer with venv,
ensurepip, ssl and SQLite 3.37 or newer. Install one (from python.org, your system's packages,
pyenv or uv; Debian and Ubuntu keep venv in a package of its own, python3-venv) and run this again.
Tried:${tried:-
  nothing: there is no python3 on the PATH, under pyenv or from uv}"
}

# Prints what the stamp must say: a digest of what is to be installed, into which Python and where.
# Fails if .venv does not run or lacks a package. A linter's setting does not change the digest.
digest='
import hashlib, pathlib, re, sys, tomllib
from importlib.metadata import requires, version
root = pathlib.Path(sys.argv[1])
for requirement in requires("benchledger"):
    if "faults" not in requirement:  # that extra is installed by the part of the bench that asks
        version(re.match(r"[\w.-]+", requirement)[0])
settings = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))
told = [settings["build-system"], settings["project"], settings["tool"]["setuptools"]]
told += [(root / "scripts/constraints.txt").read_text("utf-8"), sys.version, str(root)]
print(hashlib.sha256(repr(told).encode()).hexdigest())
'
fingerprint() { "$python" -I -c "$digest" "$root" 2>/dev/null </dev/null; }

# Makes .venv anew unless its stamp says that it was finished for just these packages.
set_up() {
  local now log
  if now=$(fingerprint) && [ "$now" = "$(cat "$stamp" 2>/dev/null)" ]; then
    return
  fi
  find_python
  say "Setting up .venv with $("$base" -V) ($base); this takes a minute or two, once."
  rm -rf -- "$venv"
  "$base" -m venv "$venv" || give_up "The virtual environment $venv could not be made."
  log=$venv/install.log
  (cd "$root" && "$python" -m pip install --quiet --disable-pip-version-check --no-input \
    -c scripts/constraints.txt -e '.[test,proof]') >"$log" 2>&1 || {
    tail -n 25 "$log" >&2
    give_up "The packages could not be installed; pip's own words are above. They come from the
package index that pip is set to use, so a connection to it is needed this once."
  }
  now=$(fingerprint) || give_up "The packages were installed, but $venv does not run."
  printf '%s\n' "$now" >"$stamp"
}
