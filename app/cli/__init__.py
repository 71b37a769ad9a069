"""The command line: plain verbs of the trade; every answer also as JSON."""

from app.cli.entry import main

__all__ = ["main"]
