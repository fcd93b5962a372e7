"""Steps as they will be done: options, branches, opened and closed access, and the one simulation of state."""
