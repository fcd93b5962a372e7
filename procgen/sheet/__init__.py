"""What a sheet asks to be filled in, what was filled in, and what of that goes into the logbook."""
