"""What the author wrote: files, places, schemas, typed records, names resolved."""
