"""`manage.py plan`: the planning problem of the studio and the plan on the wall, or one made for it."""

import json

from django.core.management.base import BaseCommand
from django.utils import timezone

from bakery.craft.planning import plan_to_json, problem_to_json
from bakery.production.adapters import current_problem
from bakery.production.management.ready import needs_a_studio
from bakery.production.working_out import plan_for


class Command(BaseCommand):
    help = 'Print the planning problem and a checked plan; with --json as {"problem": …, "plan": …}.'

    def add_arguments(self, parser):
        parser.add_argument("--json", action="store_true", help="as JSON that other programs can check")
        parser.add_argument("--seconds", type=float, default=2.0, help="how long to look for a better plan")

    def handle(self, *args, **options):
        needs_a_studio()
        problem, works = current_problem(now=timezone.now())
        plan = plan_for(problem, works, seconds=options["seconds"])
        if options["json"]:
            both = {"problem": problem_to_json(problem), "plan": plan_to_json(plan)}
            self.stdout.write(json.dumps(both, indent=1, ensure_ascii=False))
            return
        if plan is None:
            self.stdout.write("No plan is known: some job fits into no baking hours.")
            return
        late = ", ".join(f"{order} by {minutes} min" for order, minutes in plan.late.items()) or "none"
        self.stdout.write(
            f"{len(plan.starts)} jobs of {len(problem.orders)} orders, "
            f"{plan.objective['sessions']} sessions; late: {late}."
        )
