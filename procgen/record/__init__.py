"""Takes filled-in sheets into a library."""
