"""What a sheet asks for when the work is done: each thing that was disturbed, and the step that put it back."""

from procgen.manual.sheet_steps import SheetWriter
from procgen.manual.sheet_view import CloseLine


def close_lines(writer: SheetWriter) -> tuple[CloseLine, ...]:
    """The close-out list, in the order in which things were disturbed."""
    return ()
