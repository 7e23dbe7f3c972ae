"""`python -m sequencer`."""

from sequencer.cli import main

main()
