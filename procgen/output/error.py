"""Why a manual could not be written."""


class OutputError(Exception):
    """The manual cannot be written as asked; the message says to a person what is in the way and what to do."""
