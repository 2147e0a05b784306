"""Other ways of doing a layer, or doing without one, each shown only with a plan in which it helps."""

from dataclasses import dataclass, replace
from datetime import datetime

from bakery.craft.work.kinds import layers_of
from bakery.orders.adapters import planned_orders, spec_to_plan
from bakery.studio import adapters as studio

from . import words
from .adapters import scene
from .dryer import LAID, dryer_tries
from .models import Job, Plan, Setback
from .setbacks import open_setbacks, other_way_of
from .working_out import first_look

MOST = 3
DETAILS = ("piped", "transfer", "wafer", "brush")
WORTH_MOVES = 3


@dataclass(frozen=True)
class Way:
    """What would be done, what it gains, and the places (order, line, layer) it is about."""

    words: str
    gain: str
    value: str
    title: str


def ways_out(setback: Setback, plan: Plan | None, now: datetime) -> tuple[Way, ...]:
    """Ways that make a plan better than `plan`, tried one by one; each costs a first look."""
    if plan is None or setback.undone_at is not None:
        return ()
    base = open_setbacks(now)
    specs = [spec_to_plan(order) for order in planned_orders()]
    found = _dried(setback, plan, now, base, specs)
    for sentence, title, places, without in _tries(setback, plan, specs):
        if len(found) == MOST:
            break
        tried = replace(base, ways=base.ways | places, without=base.without | without)
        look = first_look(now=now, setbacks=tried)
        gain = _gain(plan, look)
        if gain:
            more = _more_minutes(now, base, tried)
            value = ";".join(",".join(map(str, place)) for place in sorted(places | without))
            kind = "without" if without else "other"
            found.append(Way(f"{sentence}{more}", gain, f"{kind}:{value}", title))
    return tuple(found)


def _dried(setback, plan, now, base, specs) -> list[Way]:
    """Trays in the dryer: the first way that helps, if there is one."""
    shop = studio.shop()
    laid = Job.objects.filter(kind__in=LAID).exclude(planned_start=None).order_by("key")
    rows = list(laid) if shop.dryer else []
    for title, keys in dryer_tries(setback, plan, specs, shop, rows):
        tried = replace(base, dryer=base.dryer | dict.fromkeys(keys, now))
        gain = _gain(plan, first_look(now=now, setbacks=tried))
        if gain:
            return [Way(title, gain, f"dryer:{';'.join(keys)}", words.small(title))]
    return []


def _tries(setback, plan, specs):
    """(sentence, title, places another way, places left out): first round the tool, then less detail."""
    late = set(plan.plan["late"])
    if setback.kind == Setback.Kind.TOOL:
        yield from _round_the_tool(setback.data["resource"], plan, specs)
    for spec in sorted(specs, key=lambda spec: spec.hand_over):
        if spec.id not in late or spec.soft:
            continue
        for line in spec.lines:
            places = _open_places(spec, line)
            details = {p for p in places if layers_of(line)[p[2]].kind in DETAILS}
            if details:
                named = words.listed(
                    dict.fromkeys(words.small(layers_of(line)[place].title or layers_of(line)[place].kind)
                                  for _, _, place in sorted(details))
                )  # fmt: skip
                yield f"{spec.title} without {named}", f"{spec.title} without {named}", frozenset(), details


def _round_the_tool(resource, plan, specs):
    """All open layers that need the tool and can be done without it, first of the late orders, then all."""
    found = set()
    for spec in specs:
        for line in spec.lines:
            for place in _open_places(spec, line):
                layer = layers_of(line)[place[2]]
                other = other_way_of(layer)
                if other is not None and _uses(layer, resource) and not _uses(other, resource):
                    found.add(place)
    if not found:
        return
    late = {place for place in found if place[0] in plan.plan["late"]}
    titles = {spec.id: spec.title for spec in specs}
    for places in (late, found):
        if places and not (places is found and late == found):
            named = words.listed(list(dict.fromkeys(titles[order] for order, _, _ in sorted(places)))[:3])
            title = f"{named}: icing through the stencil, not spray"
            yield title, title, frozenset(places), frozenset()


def _uses(layer, resource) -> bool:
    if resource == "airbrush":
        return layer.kind == "spray"
    return resource.removeprefix("stencil/") in layer.stencils and layer.kind in ("spray", "icing_pass")


def _open_places(spec, line) -> list[tuple[str, str, int]]:
    """Layers of a line on which no work was done or begun."""
    begun = set(
        Job.objects.filter(order__number=int(spec.id[1:]), key__startswith=f"{spec.id}.{line.id}.")
        .exclude(state=Job.State.PLANNED)
        .values_list("layer", flat=True)
    )
    return [(spec.id, line.id, at) for at in range(len(layers_of(line))) if at not in begun]


def _gain(plan: Plan, look) -> str:
    """What is better than in the plan, in words; "" when nothing is."""
    if look.outcome.plan is None:
        return ""
    before, after = plan.plan["late"], look.plan_json["late"]
    old, new = plan.plan["objective"], look.plan_json["objective"]
    if new["missed"] > old["missed"] or new["lateness"] > old["lateness"]:
        return ""
    if not after and before:
        return "every hand-over holds"
    if len(after) < len(before):
        return f"{len(before) - len(after)} more hold"
    if new["lateness"] + 30 <= old["lateness"]:
        return f"{words.length(old['lateness'] - new['lateness'])} less late"
    if not before and new["moved"] + WORTH_MOVES <= old["moved"]:
        return f"{old['moved'] - new['moved']} fewer jobs move"
    return ""


def _more_minutes(now, base, tried) -> str:
    """ ", 40 min more work": all works of both kitchens compared."""
    totals = [
        sum(work.bench_minutes for work in scene(now=now, setbacks=one).works.values())
        for one in (base, tried)
    ]
    more = totals[1] - totals[0]
    if not more:
        return ", as much work"
    return f", {words.length(abs(more))} {'more' if more > 0 else 'less'} work"
