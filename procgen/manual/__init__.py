"""The pages that readers hold: one module per page type, and the drawings on them. Nothing here writes a file."""
