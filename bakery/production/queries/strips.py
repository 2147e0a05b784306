"""The evening as the band draws it: runs as blocks, trays as mist, the post where she may stop."""

from datetime import timedelta

from bakery.drawing.cookies import as_cookie
from bakery.drawing.strip import Block, Drying, Evening

from .. import words
from .runs import picture_of

MOST_TRAYS = 8
VERDICT = {"must": "must", "safe": "safe", "good": "good"}


def evening_of(session, runs, shades, *, stop=None, wash_up=0) -> Evening:
    """The strip's data; all times local."""
    start, end = words.local(session.start), words.local(session.end)
    blocks = [
        Block(
            words.local(run.start),
            words.local(run.end),
            str(run.number or ""),
            run.label,
            "bare" if run.state in ("done", "assumed") else VERDICT.get(run.verdict, "good"),
            f"{words.clock(run.start)} to {words.clock(run.end)} {run.title}",
        )
        for run in runs
    ]
    if wash_up:
        number = str(max((run.number for run in runs), default=0) + 1) if runs else ""
        wash = timedelta(minutes=wash_up)
        if not blocks or max(block.end for block in blocks) <= end - wash:
            blocks.append(Block(end - wash, end, number, "", "bare", "Wash up"))
    return Evening(
        start, end, tuple(blocks), tuple(_trays(runs, shades)), words.local(stop) if stop else None
    )


def _trays(runs, shades):
    wet = [(run, job) for run in runs if run.dry_slow for job in run.jobs]
    found = []
    for run, job in wet[:MOST_TRAYS]:
        span = run.dry_of(job)
        if span is None:
            continue
        laid, usual, slow = (words.local(at) for at in span)
        spec = picture_of(job, shades)
        first_or_last = not found or (run, job) == wet[-1]
        text = f"dry by {words.clock(slow)}" if first_or_last else words.clock(slow)
        found.append(Drying(as_cookie(spec), laid, slow, usual, text, strong=(run, job) == wet[-1]))
    for run in runs:
        if run.kind == "bake" and len(found) < MOST_TRAYS:
            spec = picture_of(run.jobs[0], shades)
            text = f"{words.counted(run.cookies_count, 'cookie')} cool, bare"
            found.append(Drying(as_cookie(spec), words.local(run.end), words=text))
    return found
