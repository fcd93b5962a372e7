"""Putting pages on a disk: whole files only, only what changed, and never a file that somebody else wrote."""
