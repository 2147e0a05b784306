"""The one long computation of the kitchen: sorting out the plan."""

from django.utils import timezone

from bakery.background.kinds import Refused, computation
from bakery.background.queries import is_active

from .services.books import BOOKS, ask_for_books
from .services.plans import PROOFS, REPLAN, ask_for_plan, save_outcome


@computation(REPLAN, title="Sorting out the plan")
def replan(args, report):
    from .working_out import work_out

    report(0.05, "looking at the orders")
    reason, force, settled = args.get("reason", ""), bool(args.get("force")), bool(args.get("settled"))
    found = work_out(now=timezone.now(), reason=reason, force=force, settled=settled, report=report)
    if found.outcome.kind == "none":
        raise Refused(found.trouble)

    def effects():
        kind = save_outcome(found)
        if kind == "same" or kind == "wall":
            ask_for_proofs(found)
            ask_for_books()
        if kind == "changed":
            # Something was said or ordered meanwhile: what was worked out is not saved but done again; if she
            # has just agreed to another plan, that stays agreed.
            ask_for_plan(reason=reason, force=force, settled=settled, weak=True)
        return {"kind": kind}

    return effects


def ask_for_proofs(found):
    """What stayed undecided in the first second is looked at again, without anybody waiting for it."""
    from bakery.background.services import enqueue

    from .working_out import is_undecided

    if is_undecided(found.tonight):
        enqueue(PROOFS)


@computation(PROOFS, title="Looking closer at tonight")
def prove(args, report):
    from .working_out import work_out

    if is_active(REPLAN):
        return None  # somebody waits for that one, and it will ask again
    found = work_out(now=timezone.now(), deep=True, settled=True, report=report)

    def effects():
        # Only what is said about the plan on the wall: a change of plan is the other computation's business.
        kind = save_outcome(found) if found.outcome.kind == "same" else "left"
        return {"kind": kind}

    return effects


@computation(BOOKS, title="Keeping the cupboard's books")
def keep_books(args, report):
    """What done work used, then what open orders want; read first, written in one transaction."""
    from .services.reserving import changed_wants, save_wants
    from .services.used import book, bookings_for

    bookings = bookings_for(args.get("keys", ()))
    report(0.5, "looking at what orders want")
    wants = changed_wants(timezone.now())

    def effects():
        book(bookings)
        save_wants(wants)
        return {"booked": len(bookings), "reserved": len(wants)}

    return effects
