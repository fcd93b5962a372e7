"""The figures in a torque: what may stand where, told with its place in the value."""

from procgen.measure.error import MeasureError
from procgen.measure.quantity import Quantity, parse_quantity
from procgen.measure.unit_table import Dimension

Path = tuple[str | int, ...]
"""The keys and indices that lead from a torque as it was written to a part of it."""


class TorqueError(MeasureError):
    """A torque that cannot be read. `path` leads from the value given to the part at fault."""


def target_torque(value: object, path: Path) -> Quantity:
    """A torque that a wrench can be set for: above 0 and not open at an end. Raises TorqueError."""
    quantity = more_than_nothing(figure(value, Dimension.TORQUE, path), path)
    if quantity.is_limit:
        raise TorqueError(
            f'"{quantity.text}" has no figure to stop at; write a torque or a range, or {{expect: "{quantity.text}"}} '
            "for a reading to be found.",
            path,
        )
    return quantity


def angle_to_turn(value: object, path: Path) -> Quantity:
    """An angle that a fastener can be turned by: above 0 and not open at an end. Raises TorqueError."""
    quantity = more_than_nothing(figure(value, Dimension.ANGLE, path), path)
    if quantity.is_limit:
        raise TorqueError(
            f'"{quantity.text}" has no angle to stop at; write an angle or a range, as in "40–45°".', path
        )
    return quantity


def more_than_nothing(quantity: Quantity, path: Path) -> Quantity:
    """The quantity itself, if all of it lies above 0; else TorqueError."""
    least = quantity.high if quantity.low is None else quantity.low
    if least is not None and least <= 0:
        raise TorqueError(f'"{quantity.text}" is not more than nothing; to turn back, write {{back-off: 90°}}.', path)
    return quantity


def figure(value: object, dimension: Dimension | None, path: Path, missing: Dimension | None = None) -> Quantity:
    """A quantity of a dimension, or of any. Raises TorqueError.

    missing: what to ask for in the message, where `dimension` is None because more than one would do.
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        example = "90°" if dimension is Dimension.ANGLE else "22 N·m"
        raise TorqueError(f'a figure with its unit is needed here, as in "{example}".', path)
    try:
        return parse_quantity(str(value), dimension=dimension)
    except MeasureError as error:
        if dimension is None and missing is not None:
            return figure(value, missing, path)  # fails again, and says what is needed
        raise TorqueError(str(error), path) from None
