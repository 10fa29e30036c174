"""The command line: the only room that speaks to the terminal, reads the clock and environment.

One file a noun, one function a verb: a verb's body resolves names, calls the room that does the
work, and says the result through `voice`. `opened` finds the book and the day. A noun's file is
imported only when that noun is used (`nouns`). A refusal is a sentence on stderr and exit code 1;
a mistyped command line is exit code 2; facts go to stdout, notes to stderr.
"""

try:
    from ledger.cli.main import main
except KeyboardInterrupt:  # Ctrl-C before the program has begun
    raise SystemExit(130) from None

__all__ = ["main"]
