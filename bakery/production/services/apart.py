"""Keep work apart that could be shared, or let it be shared again."""

from django.db import transaction

from ..models import KeptApart
from ..scene import share_key, shares_json, shares_on_the_wall
from .plans import ask_for_plan


@transaction.atomic
def keep_apart(*, key: str, now) -> bool:
    """She wants these orders made apart; said twice it is said once. `key` names a shared job."""
    key = share_key(key)
    known = next((one for one in shares_on_the_wall() if one.key == key), None)
    if known is None:
        return False
    told = {"at": now, "share": shares_json([known])[0]}
    _, new = KeptApart.objects.get_or_create(key=key, defaults=told)
    if new:
        ask_for_plan(reason="You asked for work to be kept apart.")
    return new


@transaction.atomic
def let_share(*, key: str) -> bool:
    """They may share again, where that saves something."""
    gone, _ = KeptApart.objects.filter(key=share_key(key)).delete()
    if gone:
        ask_for_plan(reason="You let work be shared again.", force=True)
    return bool(gone)
