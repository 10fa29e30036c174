"""Run the program as `python -m ledger`."""

from ledger.cli import main

main()
