"""What each command does, a module for each; `coach.cli` parses the command line and calls them.

A module's `run(args)` prints, and gives the exit code: 0 for well, 1 for faults found, 2 for what can't be done.
"""
