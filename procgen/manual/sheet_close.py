"""What a sheet asks for when the work is done: each thing that was disturbed, and the step that put it back."""

from procgen.library.condition import ALWAYS
from procgen.manual.sheet_view import CloseLine
from procgen.manual.step_writer import StepWriter
from procgen.plan.close_out import CloseOut, close_out


def close_lines(steps: StepWriter) -> tuple[CloseLine, ...]:
    """The close-out list, in the order in which things were disturbed."""
    return tuple(_line(each, steps) for each in close_out(steps.plan))


def _line(each: CloseOut, steps: StepWriter) -> CloseLine:
    numbers = {key: planned.number for key, planned in steps.by_key.items()}
    return CloseLine(
        title=steps.plan.machine.items[each.item].title,
        step=numbers[each.restored_by] if each.restored_by else "",
        torque=steps.leaf.book.measures.torque_line(each.torque) if each.torque else "",
        proof=numbers[each.proved_by] if each.proved_by else "",
        signs=each.sign,
        only_if="" if each.when == ALWAYS else steps.when_words(each.when),
    )
