"""What is due on each individual machine, and where its readings are heading: values, worked out from the logbooks."""
