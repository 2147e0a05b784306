"""Names to letter on one day, exactly as they were given."""

from bakery.production.models import Job

COLUMNS = ((10, 6), (18, 4))  # names of up to so many letters fit in so many columns; longer ones in three


def to_letter(it) -> list[dict]:
    """A list for each order that is lettered this day."""
    orders = {}
    for job in it.jobs:
        if job.kind == "letter" and job.state != Job.State.DONE:
            orders.setdefault(job.order_id, job.order)
    found = [(order, _names(it, order)) for order in orders.values()]
    lists = [(order, texts) for order, texts in found if texts]
    return [
        {"title": _title(order, texts, alone=len(lists) == 1), "names": texts, "columns": _columns(texts)}
        for order, texts in lists
    ]  # fmt: skip


def _columns(texts) -> int:
    longest = max(len(text) for text in texts)
    return next((columns for letters, columns in COLUMNS if longest <= letters), 3)


def _title(order, texts, *, alone: bool) -> str:
    return f"Names to letter, {len(texts)}" if alone else f"Names to letter for {order.title}, {len(texts)}"


def _names(it, order) -> list[str]:
    """The order's names; when its trays are lettered on several days, those of this day's trays."""
    texts = list(order.names.order_by("position").values_list("text", flat=True))
    rows = list(order.jobs.filter(kind="letter").order_by("line_id", "tray", "key"))
    today = {job.pk for job in it.jobs}
    if all(job.pk in today for job in rows):
        return texts
    found, at = [], 0
    for job in rows:
        part = texts[at : at + job.cookies]
        at += job.cookies
        if job.pk in today and job.state != Job.State.DONE:
            found += part
    return found


def spares(it, run) -> str:
    """Lettered spares stay unlettered until the hand-over."""
    return (
        "Names below. Leave the spares unlettered." if any(_names(it, job.order) for job in run.jobs) else ""
    )
