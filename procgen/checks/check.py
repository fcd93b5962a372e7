"""What a check is, and what it is given to look at."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from procgen.finding import Finding, Severity
from procgen.library.fleet import Job, Logbook
from procgen.library.library import Library
from procgen.library.machine import Machine, Procedure
from procgen.plan.expand import expand
from procgen.plan.proof import Breach, Proof, prove
from procgen.plan.steps import Plan

if TYPE_CHECKING:
    from procgen.plan.job_plan import JobPlan

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """A share of a library that is judged by itself."""

    procedures: tuple[str, ...] = ()
    """Their ids."""
    jobs: tuple[str, ...] = ()
    is_shop: bool = False
    """With everything that is neither a procedure nor a job."""


def portions(library: Library) -> Iterator[Portion]:
    """The whole library: what is no procedure first, then each procedure and each job, in the order of the files."""
    yield Portion(is_shop=True)
    yield from (Portion(procedures=(name,)) for name in library.heads)
    yield from (Portion(jobs=(name,)) for name in library.jobs)


def everything(library: Library) -> Portion:
    """The whole library as one portion."""
    return Portion(procedures=tuple(library.heads), jobs=tuple(library.jobs), is_shop=True)


@dataclass(frozen=True, eq=False)
class Subject:
    """What is looked at of a linked library on a day. A procedure is expanded once, when it is first asked for."""

    library: Library
    """All of it: what is looked at may name anything."""
    on: date = field(default_factory=date.today)
    """The day for which the library is judged: what lies after it is the future."""
    whole: bool = True
    """All that the author wrote could be read, and every name led somewhere: what is not there was not written."""
    portion: Portion | None = None
    """What is looked at; None: everything."""
    _plans: dict[str, tuple[Plan, tuple[Finding, ...]]] = field(default_factory=dict, repr=False)
    _proofs: dict[str, Proof] = field(default_factory=dict, repr=False)
    _jobs: dict[str, "JobPlan"] = field(default_factory=dict, repr=False)
    _worked_out: dict[object, tuple[Any, ...]] = field(default_factory=dict, repr=False)

    def worked_out(self, work: Callable[["Subject"], Iterable[T]]) -> tuple[T, ...]:
        """What some work on this subject gives, done once for all checks that want it."""
        known = self._worked_out.get(work)
        if known is None:
            known = self._worked_out[work] = tuple(work(self))
        return known

    @cached_property
    def _looked_at(self) -> Portion:
        return self.portion or everything(self.library)

    @property
    def is_shop(self) -> bool:
        """Whether everything that is neither a procedure nor a job is looked at."""
        return self._looked_at.is_shop

    @cached_property
    def machines(self) -> tuple[Machine, ...]:
        """The machines that are looked at, in the order of the files."""
        return tuple(self.library.machines.values()) if self._looked_at.is_shop else ()

    @property
    def logbooks(self) -> tuple[Logbook, ...]:
        """The logbooks that are looked at, in the order of the files."""
        return tuple(self.library.logbooks.values()) if self._looked_at.is_shop else ()

    @cached_property
    def procedures(self) -> tuple[Procedure, ...]:
        """The procedures that are looked at, in the order of the files."""
        return tuple(self.library.procedures[name] for name in self._looked_at.procedures)

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
    def written_jobs(self) -> tuple[Job, ...]:
        """The jobs that are looked at as their author wrote them, in the order of the files."""
        return tuple(self.library.jobs[name] for name in self._looked_at.jobs)

    @property
    def jobs(self) -> tuple["JobPlan", ...]:
        """Every job that does something, planned once, in the order of the files."""
        if not self.written_jobs:
            return ()
        from procgen.plan.job import plan_job  # noqa: PLC0415 - most libraries that are checked have no jobs

        library = self.library
        for job in self.written_jobs:
            if job.address.id not in self._jobs and any(task.procedure in library.heads for task in job.do):
                self._jobs[job.address.id] = plan_job(job, library)
        return tuple(self._jobs[name] for name in self._looked_at.jobs if name in self._jobs)

    @property
    def proofs(self) -> Iterator[Proof]:
        """Of every procedure from whose order something may be concluded; then of every job, what only the job has."""
        yield from (self.proof(procedure) for procedure in self.sound)
        for job in self.jobs:
            if not job.plan.damaged:
                yield self._only_in_job(job)

    def _only_in_job(self, job: "JobPlan") -> Proof:
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


def itself(finding: Finding) -> object:
    """What makes two findings one where nothing else is said: the same words at the same place."""
    return finding.place, finding.message


@dataclass(frozen=True, slots=True)
class Check:
    """One small function that looks at a library, with its name and its weight.

    What it finds in the whole is what it finds in the portions, taken together: it looks at the subject's machines,
    procedures, logbooks and jobs, never at all those of the library.
    """

    slug: str
    severity: Severity
    run: Callable[[Subject], Iterable[Finding]]
    once: Callable[[Finding], object] = itself
    """What makes two findings of different portions one; the first stands."""
    of_all: bool = False
    """It compares what may lie in several portions, so that it must look at all of them at once."""
