"""procgen: procedures that are checked, proved and printed."""

__version__ = "0.1.0"
