"""Tonight as plain text, for the terminal."""

import textwrap

WIDTH = 78


def tonight_text(view) -> str:
    """The page's sentences and lines, one under the other."""
    lines = [view.headline]
    lines += _wrapped(f"{view.bedtime} {view.bedtime_rest}".strip())
    lines += _wrapped(view.more)
    lines += [f"! {late}." for late in view.late]
    for group in (*view.groups, *view.rest):
        lines += ["", group.title]
        for run in group.runs:
            lines += _run(run)
        if view.stop and view.stop.number and group.runs[-1].number == view.stop.number:
            lines += ["", *_wrapped(f"--- {view.stop.head} {view.stop.text}")]
    if view.wash_up:
        lines += ["", f"  {view.wash_up[0]}  Wash up, {view.wash_up[2]} min, whenever you stop"]
    if view.so_far:
        lines += ["", "So far"]
        lines += [
            f"  {run.time}  {run.title} ({'done' if run.done else 'assumed done'})" for run in view.so_far
        ]
    if view.empty:
        lines.append(view.empty[0])
    if view.trouble:
        lines += _wrapped(view.trouble)
    if view.proposal:
        lines += ["", "A changed plan waits for you on the page: take it or leave it."]
    if view.ended_unsaid:
        lines += ["", "Say on the page how the last evening went; until then it counts as done."]
    return "\n".join(lines)


def _run(run) -> list[str]:
    when = f"start by {run.by}" if run.by else run.note
    lines = [f"  {run.time}  {run.number} {run.title}  [{when}]"]
    return lines + [f"         {line}" for line in _wrapped(run.text, WIDTH - 9)]


def _wrapped(text, width=WIDTH) -> list[str]:
    return textwrap.wrap(text, width) if text else []
