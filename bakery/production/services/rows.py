"""Job rows as the orders want them now: one for each task of the problem, with the orders it serves."""

from ..models import Job, JobShare

WORK_FIELDS = (
    "kind", "title", "layer", "tray", "trays", "cookies", "colours", "grams", "minutes", "attended", "uses",
    "stands_for", "saved",
)  # fmt: skip


def sync_jobs(*, problem, works) -> None:
    """Make the rows, bring them up to date, or let them go when nothing was said about them.

    There is one row for each task of the problem, so a job cut in two for want of a long evening has two
    rows.
    """
    from bakery.orders.models import Order, OrderLine

    from ..adapters import job_named, work_with

    numbers = [int(key[1:]) for key in works]
    orders = {
        f"o{number}": pk
        for pk, number in Order.objects.filter(number__in=numbers).values_list("pk", "number")
    }
    lines = OrderLine.objects.filter(order__number__in=numbers).values_list("pk", "order__number", "position")
    lines = {(f"o{number}", f"l{position}"): pk for pk, number, position in lines}
    rows = {row.key: row for row in Job.objects.filter(key__in=[task.id for task in problem.tasks])}
    new, changed, wanted, shares = [], [], set(), {}
    for task in problem.tasks:
        job, parts = job_named(works, task.id)
        if any(past.job.id == job.id for past in work_with(works, job.id).past):
            continue
        wanted.add(task.id)
        values = _row_values(job, task.id, parts)
        shares[task.id] = {orders[name]: _part(n, task.id, parts) for name, n in job.shared if name in orders}
        row = rows.get(task.id)
        if row is None:
            line = lines.get((job.order, job.line))
            new.append(Job(key=task.id, order_id=orders[job.order], line_id=line, **values))
        elif row.state != Job.State.DONE and any(getattr(row, name) != values[name] for name in WORK_FIELDS):
            for name, value in values.items():
                setattr(row, name, value)
            changed.append(row)
    Job.objects.bulk_create(new)
    if changed:
        Job.objects.bulk_update(changed, WORK_FIELDS)
    Job.objects.filter(state=Job.State.PLANNED).exclude(key__in=wanted).delete()
    _sync_shares(shares)


def _row_values(job, key, parts) -> dict:
    values = {name: getattr(job, name) for name in WORK_FIELDS}
    values |= {"colours": list(job.colours), "uses": dict(job.uses), "title": job.title[:160],
               "stands_for": list(job.stands_for)}  # fmt: skip
    if parts > 1:
        values |= {"cookies": _part(job.cookies, key, parts), "grams": job.grams / parts,
                   "minutes": job.minutes / parts, "attended": job.attended / parts,
                   "title": f"{job.title[:140]}, {_number(key)} of {parts}"}  # fmt: skip
    return values


def _number(key: str) -> int:
    return int(key.rpartition("/")[2].partition("of")[0])


def _part(cookies: int, key: str, parts: int) -> int:
    """How many of so many cookies fall to this part of a job."""
    if parts <= 1:
        return cookies
    part = _number(key)
    return cookies * part // parts - cookies * (part - 1) // parts


def _sync_shares(wanted: dict[str, dict[int, int]]) -> None:
    """Each order's part in each job; work done together keeps the parts it had when it was done."""
    known: dict[int, dict[int, int]] = {}
    there = JobShare.objects.filter(job__key__in=wanted).exclude(job__state=Job.State.DONE)
    for job, order, cookies in there.values_list("job", "order", "cookies"):
        known.setdefault(job, {})[order] = cookies
    names = [key for key, counts in wanted.items() if counts]
    open_rows = Job.objects.exclude(state=Job.State.DONE)
    pks = dict(open_rows.filter(key__in=names).values_list("pk", "key"))
    wrong = [pk for pk in {*known, *pks} if known.get(pk, {}) != wanted.get(pks.get(pk, ""), {})]
    JobShare.objects.filter(job__in=wrong).delete()
    JobShare.objects.bulk_create(
        JobShare(job_id=pk, order_id=order, cookies=cookies)
        for pk in wrong
        for order, cookies in wanted.get(pks.get(pk, ""), {}).items()
    )
