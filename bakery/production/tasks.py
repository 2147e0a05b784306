"""The one long computation of the kitchen: sorting out the plan."""

from django.utils import timezone

from bakery.background.kinds import computation

from .services.plans import REPLAN, ask_for_plan, save_outcome


@computation(REPLAN, title="Sorting out the plan")
def replan(args, report):
    from .working_out import work_out

    report(0.1, "looking at the orders")
    reason, force = args.get("reason", ""), bool(args.get("force"))
    found = work_out(now=timezone.now(), reason=reason, force=force)

    def effects():
        kind = save_outcome(found)
        if kind == "changed":
            # Something was said or ordered meanwhile: what was worked out is not saved but done again.
            ask_for_plan(reason=reason, force=force)
        return {"kind": kind}

    return effects
