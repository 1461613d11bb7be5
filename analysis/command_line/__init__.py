"""The command line: each verb takes a boat folder, prints for people and, with --json, writes for programs."""

from analysis.command_line.program import main

__all__ = ["main"]
