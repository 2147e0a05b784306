"""What the plan on the wall makes for several orders at once, and what she keeps apart, in words."""

from bakery.orders.models import Order

from .. import words
from ..models import KeptApart
from ..scene import shares_of

WHAT = {"dough": "dough", "mix": "icing", "spray": "spray run"}


def shared_sentence(plan) -> str:
    """How much is shared in this plan, and what that spares."""
    shares = [one for one in shares_of(plan.shares) if one.saved]
    if not shares:
        return ""
    count = len({name for one in shares for name in one.orders})
    saved = words.length(sum(one.saved for one in shares))
    kinds = words.listed(dict.fromkeys(_plural(one.kind, shares) for one in shares))
    if count < 2:
        return f"One order’s {kinds}: {saved} saved."
    return f"{words.capital(words.number_word(count))} orders share {kinds}: {saved} saved."


def _plural(kind: str, shares) -> str:
    many = sum(one.kind == kind for one in shares) > 1 and kind == "spray"
    return "spray runs" if many else f"a {WHAT[kind]}" if kind == "spray" else WHAT[kind]


def apart_rows() -> tuple[tuple[str, str], ...]:
    """(key, words) of what she keeps apart; a query or two."""
    rows = list(KeptApart.objects.all()[:6])
    shares = shares_of(row.share for row in rows)
    numbers = {int(name[1:]) for one in shares for name in one.orders if name[1:].isdigit()}
    orders = Order.objects.filter(number__in=numbers) if numbers else ()
    titles = {order.key: order.title for order in orders}
    found = []
    for row, one in zip(rows, shares, strict=True):
        named = [titles[name] for name in one.orders if name in titles]
        if named:
            found.append((row.key, f"{words.capital(WHAT[one.kind])} of {words.listed(named)}"))
    return tuple(found)
