"""From which state an order may go to which: generous, since the baker knows best; odd leaps are refused."""

from .errors import WrongState
from .models import State

_E, _Q, _H, _B, _A = State.ENQUIRY, State.QUOTED, State.HELD, State.BOOKED, State.APPROVED
_K, _R, _DONE = State.KITCHEN, State.READY, State.HANDED_OVER
_NO = (State.DECLINED, State.LAPSED, State.CANCELLED)

ALLOWED = {
    _E: (_Q, _H, _B, *_NO),
    _Q: (_E, _H, _B, *_NO),
    _H: (_E, _Q, _B, *_NO),
    _B: (_A, _K, _R, _DONE, State.CANCELLED, State.MOVED),
    _A: (_B, _K, _R, _DONE, State.CANCELLED, State.MOVED),
    _K: (_R, _DONE, State.CANCELLED, State.MOVED),
    _R: (_K, _DONE, State.CANCELLED, State.MOVED),
    _DONE: (_R,),
    State.DECLINED: (_E, _Q, _B),
    State.LAPSED: (_E, _Q, _H, _B),
    State.CANCELLED: (_E, _Q, _H, _B, _A, _K, _R),
    State.MOVED: (_B,),
}

# What the states row of one order shows, in this order.
ROAD = (_E, _Q, _B, _K, _R, _DONE)


def check_step(before: str, after: str) -> None:
    """Raise WrongState, with a sentence, when no order goes from `before` to `after`."""
    if after not in ALLOWED[State(before)]:
        raise WrongState(
            f"{State(before).label} now: it cannot become “{State(after).label.lower()}” from there."
        )
