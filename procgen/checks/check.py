"""What a check is, and what it is given to look at."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date

from procgen.finding import Finding, Severity
from procgen.library.library import Library
from procgen.library.machine import Procedure
from procgen.plan.expand import expand
from procgen.plan.proof import Proof, prove
from procgen.plan.steps import Plan


@dataclass(frozen=True, eq=False)
class Subject:
    """A linked library on a day, with every procedure expanded once, when it is first asked for."""

    library: Library
    on: date = field(default_factory=date.today)
    """The day for which the library is judged: what lies after it is the future."""
    whole: bool = True
    """All that the author wrote could be read, and every name led somewhere: what is not there was not written."""
    _plans: dict[str, tuple[Plan, tuple[Finding, ...]]] = field(default_factory=dict, repr=False)
    _proofs: dict[str, Proof] = field(default_factory=dict, repr=False)

    @property
    def procedures(self) -> tuple[Procedure, ...]:
        """Every procedure, in the order of the files."""
        return tuple(self.library.procedures.values())

    def expanded(self, procedure: Procedure) -> tuple[Plan, tuple[Finding, ...]]:
        """The procedure as it will be done, and what was found while expanding it."""
        known = self._plans.get(procedure.address.id)
        if known is None:
            known = self._plans[procedure.address.id] = expand(procedure, self.library)
        return known

    def plan(self, procedure: Procedure) -> Plan:
        """The procedure as it will be done."""
        return self.expanded(procedure)[0]

    def proof(self, procedure: Procedure) -> Proof:
        """The procedure, proved in every way through, once."""
        known = self._proofs.get(procedure.address.id)
        if known is None:
            known = self._proofs[procedure.address.id] = prove(self.plan(procedure), self.library)
        return known

    @property
    def sound(self) -> tuple[Procedure, ...]:
        """The procedures from whose order something may be concluded."""
        return tuple(each for each in self.procedures if not self.plan(each).damaged)


@dataclass(frozen=True, slots=True)
class Check:
    """One small function that looks at a library, with its name and its weight."""

    slug: str
    severity: Severity
    run: Callable[[Subject], Iterable[Finding]]
