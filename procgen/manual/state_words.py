"""States as the trade says them: "timing belt off", "No. 1 at top dead centre"."""

from procgen.library.machine import Machine
from procgen.library.origin import Kind
from procgen.library.state import State, state_word


def state_words(state: State, machine: Machine) -> str:
    """A state in words."""
    item = machine.items.get(state.item)
    if item is None:
        return state.item.replace("-", " ")
    if item.address.kind is Kind.CONDITION:
        return item.title if state.disturbed else f"not: {item.title}"
    supplied = getattr(item, "is_supplied", True)
    return f"{item.title} {state_word(item.address.kind, disturbed=state.disturbed, supplied=supplied)}"
