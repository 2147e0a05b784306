"""From an order to its jobs: what planning and price both rest on."""

from collections.abc import Sequence

from .ahead import Use
from .ahead_work import aged_minutes, thaws_of, transfers_there, with_blanks
from .baking import Baking, baking_of, reached
from .chains import Chain, chains_of
from .counting import cut_of, names_of, whole
from .freezing import baked_ahead
from .icing import done_layers, steps_of
from .kinds import is_dark, shop_minutes
from .pieces import Job, Past, Wait, Work
from .spec import DryingTimes, OrderSpec, Shop

__all__ = ["work_of"]

MIX_GROUPS = (("flood", ("flood",)), ("spread", ("icing_pass",)), ("detail", ("piped", "lettering")))
TRANSFER_GROUP = ("transfer", ("transfer",))


def work_of(
    order: OrderSpec,
    shop: Shop | None = None,
    drying: DryingTimes | None = None,
    *,
    ahead: Sequence[Use] = (),
) -> Work:
    """All jobs, waits and rack places of one order.

    Parameters
    ----------
    order : what is asked for, and how far it has got
    shop : the kitchen; its defaults where None
    drying : waits of the room; an ordinary kitchen where None
    ahead : what this order takes of things made ahead (`ahead.allot` says who gets what)

    Job ids depend only on the order, its lines and their layers, so the same order always gets the same ids.
    Work that the stage of a line says is done appears in `past`, where its drying may still run.
    """
    shop, drying = shop or Shop(), drying or DryingTimes()
    asked, mine = order, tuple(use for use in ahead if use.order == order.id)
    order = with_blanks(order, mine)
    thaws, dough_thaw = thaws_of(order, mine, shop)
    ready = sum(use.quantity for use in mine if use.item.what == "dough")
    baking = baking_of(order, shop, ready=ready, thaw=dough_thaw)
    steps = {line.id: steps_of(order, line, shop) for line in order.lines}
    own_thaws = {job.id: job for job in (*thaws.values(), *([dough_thaw] if dough_thaw else []))}
    jobs, past, waits, places = (
        [*own_thaws.values(), *baking.jobs],
        [],
        list(baking.waits),
        list(baking.places),
    )
    done_ids = transfers_there(steps, mine)
    for line in order.lines:
        count = done_layers(line)
        for step in steps[line.id]:
            made = [step.made_ahead] if step.made_ahead and step.made_ahead.id not in done_ids else []
            if step.index < count:
                last = step.index == max(s.index for s in steps[line.id] if s.index < count)
                ended = line.stage_at if last and line.stage != "packed" else None
                past += [Past(job, ended) for job in step.jobs]
                done_ids |= {job.id for job in (*step.jobs, *made)}
            else:
                jobs += [*made, *step.jobs]
    past += _before(order, shop)
    pack = _pack(order, shop)
    mixes, mix_waits = _mixes(order, shop, steps, done_ids)
    chains = Chain(order, shop, drying, pack.id)
    chains.thaws = thaws
    chains_of(chains, baking, steps, done_ids, past)
    everything = [*jobs, *mixes]
    if all(line.stage == "packed" for line in order.lines):
        ended = [line.stage_at for line in order.lines if line.stage_at]
        past.append(Past(pack, max(ended) if ended else None))
    else:
        everything.append(pack)
    everything += _unplanned(order, shop, everything)
    known = {job.id for job in everything} | {p.job.id for p in past}
    waits += mix_waits + chains.waits
    places += chains.places
    work = Work(
        asked,
        shop,
        tuple(everything),
        tuple(w for w in waits if w.before in known and w.after in known),
        tuple(p for p in places if p.after in known and (p.until is None or p.until in known)),
        pack.id,
        (*_bakes(baking, past), *dict.fromkeys(job.id for job in thaws.values())),
        tuple(past),
        sum(cut_of(line, shop) for line in order.lines),
        mine,
        aged_minutes(mine),
    )
    return baked_ahead(work) if order.bake_ahead else work


def _bakes(baking: Baking, past) -> tuple[str, ...]:
    done = [p.job.id for p in past if p.job.kind == "bake" and p.ended is not None]
    return tuple([job.id for job in baking.jobs if job.kind == "bake"] + done)


def _before(order, shop) -> list[Past]:
    """Dough and bakes of half-made lines, one a line, as far as anyone knows when they were."""
    found = []
    for line in order.lines:
        cookies = cut_of(line, shop)
        if reached(line.stage) >= reached("baked"):
            when = line.baked_at or (line.stage_at if line.stage == "baked" else None)
            job = Job(
                f"{order.id}.{line.id}.baked", "bake", "Roll and bake", order.id, line.id, cookies=cookies
            )
            found.append(Past(job, when))
        elif line.stage == "dough":
            job = Job(f"{order.id}.{line.id}.dough", "dough", "Mix dough", order.id, line.id, cookies=cookies)
            found.append(Past(job, line.stage_at))
    return found


def _pack(order, shop) -> Job:
    lines = [line for line in order.lines if line.stage != "packed"] or list(order.lines)
    cookies = sum(line.quantity for line in lines)
    minutes = whole(shop_minutes(shop, "pack_set") + cookies * shop_minutes(shop, "pack"))
    return Job(
        f"{order.id}.pack",
        "pack",
        "Bag and box",
        order.id,
        cookies=cookies,
        minutes=minutes,
        attended=minutes,
        parts=tuple((line.id, line.quantity) for line in lines),
    )


def _mixes(order, shop, steps, done_ids):
    """One mixing for each consistency, a bag for each colour, and the waits to what uses them."""
    mixes, waits = [], []
    for name, kinds in (*MIX_GROUPS, TRANSFER_GROUP):
        users, colours, first = [], {}, set()
        for line in order.lines:
            mine = [step for step in steps[line.id] if step.layer.kind in kinds]
            for step in mine:
                made = [step.made_ahead] if step.made_ahead else step.jobs
                todo = [job for job in made if job.id not in done_ids]
                # Later layers stir the tub up again; only the first ones need it fresh.
                if todo and not any(job.line == line.id for job in users):
                    first |= {job.id for job in todo}
                users += todo
        for job in users:
            for colour in job.colours:
                colours[colour] = colours.get(colour, 0.0) + job.grams / max(1, len(job.colours))
        if not users:
            continue
        bags = max(1, len(colours))
        minutes = whole(
            (0 if mixes else shop_minutes(shop, "mix_base")) + bags * shop_minutes(shop, "mix_bag")
        )
        mix = Job(
            f"{order.id}.mix.{name}",
            "mix",
            "Mix " + (" and ".join(colours) or "icing"),
            order.id,
            colours=tuple(colours),
            grams=round(sum(colours.values()), 3),
            minutes=minutes,
            attended=minutes,
        )
        mixes.append(mix)
        rest = shop.rest_darks and any(is_dark(colour) for colour in colours)
        least = int(shop_minutes(shop, "mix_rest")) if rest else 0
        keeps = max(least, int(shop_minutes(shop, "mix_keeps")))
        why = "dark colours rest to deepen" if rest else "icing mixed, and not older than it keeps"
        waits += [
            Wait(mix.id, job.id, "mixed", least, least, keeps if job.id in first else None, why)
            for job in users
        ]
    return mixes, waits


def _unplanned(order, shop, jobs) -> list[Job]:
    """Talk, the share of the washing-up, the door and the road: priced, but not planned."""
    designs = sum(line.designs for line in order.lines)
    names = sum(names_of(line) for line in order.lines if line.kind == "lettered" or line.names)
    talk = shop_minutes(shop, "talk") + (designs - 1) * shop_minutes(shop, "talk_design")
    talk += names * shop_minutes(shop, "talk_names")
    if any(line.kind == "very_detailed" for line in order.lines):
        talk += shop_minutes(shop, "talk_detailed")
    bench = sum(job.attended * job.hands for job in jobs)
    washing = bench / max(1.0, shop_minutes(shop, "wash_every")) * shop.wash_up_minutes
    found = [("talk", "Talk, write and sketch", whole(talk))]
    if bench and washing:
        found.append(("washup", "Its share of the washing-up", whole(washing)))
    if shop.door_minutes:
        found.append(("door", "At the door", shop.door_minutes))
    if order.way != "collected" and order.travel_minutes:
        found.append(("drive", "There and back", 2 * order.travel_minutes))
    return [
        Job(f"{order.id}.{kind}", kind, title, order.id, minutes=minutes, attended=minutes, planned=False)
        for kind, title, minutes in found
    ]
