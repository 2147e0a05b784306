"""The reason for a job, from its block through its waits to the hand-over's pennant: words with their
picture.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from .mist import USUAL, mist, mist_down
from .svg import clean, frame, paint, rect

ACROSS, HIGH, DOWN_W, DOWN_H = 150, 26, 24, 46


@dataclass(frozen=True)
class Step:
    """One link. kind: work, wait or hand_over. `what` in bold, then `when` and how `long`.

    now: this is the job in question (ink, not biscuit). share: water left at equal steps of the wait, 1 to 0.
    """

    kind: str
    what: str
    when: str = ""
    long: str = ""
    now: bool = False
    share: tuple[float, ...] = USUAL


def chain_list(steps: Iterable[Step]) -> str:
    """The whole chain as an ordered list; the page lays it across on a desktop and down on a phone."""
    items = "".join(_item(i, step) for i, step in enumerate(steps))
    return f'<div class="chain-box"><ol class="chain" role="list">{items}</ol></div>' if items else ""


def _item(i: int, step: Step) -> str:
    comma = '<span class="chain__comma">, </span>'
    when = f'<span class="chain__when">{clean(step.when)}</span>' if step.when else ""
    long = f'{comma}<span class="chain__long">{clean(step.long)}</span>' if step.long else ""
    return (
        f'<li class="chain__step chain__step--{clean(step.kind)}"><span class="chain__mark '
        f'chain__mark--across">{across(step, seed=i)}</span>'
        f'<span class="chain__mark chain__mark--down">{down(step, seed=i)}</span>'
        f'<span class="chain__words"><span '
        f'class="chain__what">{clean(step.what)}</span>{when}{long}</span></li>'
    )


def _stretched(body: str) -> str:
    """A picture as wide as its place: positions stretch, dots stay round (their stroke does not scale)."""
    body = body.replace("<path ", '<path vector-effect="non-scaling-stroke" ')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="d chain__mist" width="{ACROSS}" height="{HIGH}" '
        f'viewBox="0 0 {ACROSS} {HIGH}" preserveAspectRatio="none" aria-hidden="true" '
        f'focusable="false">{body}</svg>'
    )


def across(step: Step, *, seed: int = 0) -> str:
    """One mark of the chain laid across."""
    if step.kind == "wait":
        return _stretched(mist(ACROSS, HIGH, seed=seed + 3, share=step.share))
    if step.kind == "hand_over":
        return frame(34, HIGH, _pennant())
    return _stretched(rect(0, 0, ACROSS, HIGH, paint("ink" if step.now else "biscuit"), r=0))


def down(step: Step, *, seed: int = 0) -> str:
    """One mark of the chain laid down."""
    if step.kind == "wait":
        dots = mist_down(DOWN_W, DOWN_H - 6, seed=seed + 3, share=step.share)
        return frame(DOWN_W, DOWN_H + 3, dots + rect(0, DOWN_H, DOWN_W, 3, paint("ink"), r=0))
    if step.kind == "hand_over":
        return frame(DOWN_W, 30, _pennant())
    return frame(DOWN_W, DOWN_H, rect(0, 0, DOWN_W, DOWN_H, paint("ink" if step.now else "biscuit"), r=3))


def _pennant() -> str:
    return f'<path d="M1 1h2.2l24 7.6-24 8.4V26H1Z" {paint("ink")}/>'
