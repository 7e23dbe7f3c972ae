"""Plan, log and review pitch sequences: the library below the terminal UI and the commands."""

__version__ = "0.1.0"
