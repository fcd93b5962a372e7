"""What a check is, and what it is given to look at."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date

from procgen.finding import Finding, Severity
from procgen.library.library import Library
from procgen.library.machine import Procedure
from procgen.plan.expand import expand
from procgen.plan.job import plan_job
from procgen.plan.job_plan import JobPlan
from procgen.plan.proof import Breach, Proof, prove
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
    _jobs: dict[str, JobPlan] = field(default_factory=dict, repr=False)

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

    @property
    def jobs(self) -> tuple[JobPlan, ...]:
        """Every job that does something, planned once, in the order of the files."""
        library = self.library
        for name, job in library.jobs.items():
            if name not in self._jobs and any(task.procedure in library.procedures for task in job.do):
                self._jobs[name] = plan_job(job, library)
        return tuple(self._jobs[name] for name in library.jobs if name in self._jobs)

    @property
    def proofs(self) -> Iterator[Proof]:
        """Of every procedure from whose order something may be concluded; then of every job, what only the job has."""
        yield from (self.proof(procedure) for procedure in self.sound)
        for job in self.jobs:
            if not job.plan.damaged:
                yield self._only_in_job(job)

    def _only_in_job(self, job: JobPlan) -> Proof:
        """A job, proved, without what is told at its procedures already."""
        name = f"job {job.job.address.id}"
        if name not in self._proofs:
            told = {_name(breach) for task in job.tasks for breach in self.proof(task.procedure).breaches}
            proof = prove(job.plan, self.library)
            own = tuple(breach for breach in proof.breaches if _name(breach) not in told)
            self._proofs[name] = replace(proof, breaches=own)
        return self._proofs[name]


def _name(breach: Breach) -> tuple[str, str, str]:
    """What makes it the same breach, in whatever plan it is."""
    return str(breach.guard.fault), breach.guard.item, breach.guard.of


@dataclass(frozen=True, slots=True)
class Check:
    """One small function that looks at a library, with its name and its weight."""

    slug: str
    severity: Severity
    run: Callable[[Subject], Iterable[Finding]]
