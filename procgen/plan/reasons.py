"""Why something is not shared in a job, in words for the mechanic."""

from collections.abc import Sequence

from procgen.finding import Because
from procgen.library.items import Component
from procgen.library.machine import Machine
from procgen.library.origin import ItemId
from procgen.library.phrases import sentence
from procgen.plan.guards import Fault
from procgen.plan.job_plan import NotShared
from procgen.plan.job_tasks import Chain
from procgen.plan.naming import be, does, still, the
from procgen.plan.ordering import Stuck
from procgen.plan.sharing import Node, Order
from procgen.plan.trial import Failure


class Speaker:
    """Speaks of the procedures of a job."""

    def __init__(self, chains: Sequence[Chain], machine: Machine) -> None:
        self.chains = chains
        self.items = machine.items

    def clash(self, order: Order, circle: Sequence[int]) -> str:
        """Why a ring of nodes can have no order: two procedures that want the same things the other way round."""
        for first in circle:
            for second in circle:
                one = self._who(order, first, second)
                other = self._who(order, second, first)
                if first != second and one is not None and other is not None:
                    before, after = self._does(order.nodes[first]), self._does(order.nodes[second])
                    first_of = f"{self._title(one)} {before} before it {after}"
                    return f"{first_of}, and {self._title(other)} does it the other way round"
        named = dict.fromkeys(task for index in circle for task in order.nodes[index].tasks)
        return f"{self._titles(tuple(named))} want it in orders that contradict each other"

    def _who(self, order: Order, first: int, second: int) -> int | None:
        """A procedure that does the first before the second."""
        for task, chain in enumerate(order.chains):
            places = [[place for place, nodes in enumerate(chain) if node in nodes] for node in (first, second)]
            if places[0] and places[1] and places[0][0] < places[1][-1]:
                return task
        return None

    def no_order(self, stuck: Stuck) -> str:
        """Why no order is safe."""
        known = next((each for each in stuck.failures if each.guard.of in self.items), None)
        start = "no order of the steps is safe" if stuck.is_certain else "no safe order was found"
        return f"{start}: {self._state(known)}" if known else start

    def _state(self, failure: Failure) -> str:
        guard = failure.guard
        want = next((each for each in guard.wants if each.fact in self.items), None)
        about = the(self.items, guard.item) if guard.item in self.items else ""
        if guard.fault is Fault.LEFT_UNDONE:
            return f"at the end {still(self.items, guard.of, disturbed=True)}"
        if want is None:
            return f"{the(self.items, guard.of)} stands against it ({guard.fault})"
        state = still(self.items, want.fact, disturbed=not want.value)
        return f"{state} when the work comes to {about} ({guard.fault})" if about else f"{state} ({guard.fault})"

    def not_shared(self, items: Sequence[str], tasks: tuple[int, ...], reason: str) -> NotShared:
        """What is done more than once, and why."""
        main = next((item for item in items if isinstance(self.items[item], Component)), items[0] if items else "")
        name = the(self.items, main) if main else "what is done once per job"
        who = self._titles(tasks)
        why = reason or "they run one after the other, since nothing that was tried lets them share"
        return NotShared(
            items=tuple(map(ItemId, items)),
            tasks=tasks,
            reason=f"{sentence(name)} {be(self.items, main)} seen to separately by {who}: {why}.",
            because=tuple(
                Because(message=self.chains[task].procedure.title, place=self.chains[task].task.origin.place)
                for task in tasks
            ),
        )

    def repeated(self, task: int) -> NotShared:
        """A procedure that is listed more than once."""
        first = next(
            index
            for index, chain in enumerate(self.chains)
            if chain.procedure.address == self.chains[task].procedure.address
        )
        return NotShared(
            items=(),
            tasks=(first, task),
            reason=f"{self._title(task)} is listed again, so all of it is done again.",
            because=(Because(message="listed again", place=self.chains[task].task.origin.place),),
        )

    def _does(self, node: Node) -> str:
        actions = [action for unit in node.block.units for action in unit.top.actions]
        whole = (action for action in actions if isinstance(self.items.get(action.item), Component))
        action = next(whole, next(iter(actions), None))
        return does(self.items, action) if action else "does its steps"

    def _title(self, task: int) -> str:
        return f'"{self.chains[task].procedure.title}"'

    def _titles(self, tasks: Sequence[int]) -> str:
        named = [self._title(task) for task in tasks]
        return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"
