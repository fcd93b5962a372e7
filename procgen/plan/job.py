"""Plans a job: several procedures on one machine, with what they have in common done once."""

from procgen.finding import in_order
from procgen.library.fleet import Job
from procgen.library.library import Library
from procgen.plan.duration import usual_minutes
from procgen.plan.job_plan import JobPlan, JobTask, OwnStep
from procgen.plan.job_steps import lay_down
from procgen.plan.job_tasks import Chain, chains, distinct
from procgen.plan.merge import merge


def plan_job(job: Job, library: Library) -> JobPlan:
    """The job as it will be done. Procedures that the library does not have are left out.

    Raises ValueError where it has none of them: there is nothing to plan.
    """
    parts = chains(job, library)
    if not parts:
        raise ValueError(f"none of the procedures of {job.address.id} is in the library")
    named = distinct(parts)
    merged = merge(job, named, library)
    laid = lay_down(merged.procedure, merged.order, named)
    return JobPlan(
        job=job,
        logbook=library.logbooks.get(job.logbook),
        plan=laid.plan,
        tasks=tuple(_task(part, extra) for part, extra in zip(parts, laid.extra, strict=True)),
        does={
            key: tuple(OwnStep(task, own.removeprefix(parts[task].prefix)) for task, own in owns)
            for key, owns in laid.does.items()
        },
        minutes_together=usual_minutes(laid.plan),
        not_shared=merged.not_shared,
        findings=in_order(finding for part in parts for finding in part.findings),
    )


def _task(part: Chain, extra: tuple[float, int]) -> JobTask:
    return JobTask(
        number=part.number,
        task=part.task,
        procedure=part.procedure,
        alone=part.plan,
        minutes_alone=usual_minutes(part.plan),
        extra_minutes=extra[0],
        extra_steps=extra[1],
    )
