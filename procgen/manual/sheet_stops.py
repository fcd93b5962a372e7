"""Where the work of a sheet can rest, and where it cannot turn back without parts."""

from collections.abc import Mapping

from procgen.manual.sheet_view import PauseView, StopLine
from procgen.manual.step_writer import StepWriter


def natural_stops(steps: StepWriter) -> Mapping[str, PauseView]:
    """The pause sheets that are printed, by the key of the step before which they stand."""
    return {}


def points_of_no_return(steps: StepWriter) -> Mapping[str, StopLine]:
    """What must be on the bench before which step, by its key."""
    return {}
