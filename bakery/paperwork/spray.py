"""The spray runs of a day step by step, as the airbrush list has them."""

from bakery.bench.spraying import evening_of


def steps(it) -> list[dict]:
    """Plain data for the sheet: one entry for each time at the airbrush that has colours to put in order."""
    if "spray" not in it.kinds():
        return []
    evening = evening_of(it.now, day=it.date, jobs=it.jobs, works=it.works)
    return [_sitting(one) for one in evening.sittings if len(one.fillings) > 1]


def _sitting(one) -> dict:
    best = [(batch.title, way) for batch in one.batches for way in batch.ways if way.best]
    return {
        "time": one.time,
        "sentence": f"{one.sentence} {one.in_one_go}".strip(),
        "steps": [_step(step) for step in one.fillings],
        "ways": [f"{title}: {way.title.lower()}, {way.minutes}. {way.text}" for title, way in best],
    }


def _step(step) -> dict:
    on = [f"{spray.cookies} {spray.title}" for spray in step.sprays]
    parts = [f"{part.drops} {part.name}" for part in step.parts] if len(step.parts) > 1 else []
    return {
        "number": step.number,
        "clean": step.clean,
        "colour": step.name,
        "amount": step.amount,
        "parts": ", ".join(parts),
        "on": "; ".join(on),
    }
