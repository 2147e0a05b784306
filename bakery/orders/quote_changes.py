"""What a later version of a quote changes against the one before it, a sentence each, for the customer."""

from __future__ import annotations

from datetime import datetime

from .replies import clock, day

ROUNDING = ("To a round figure",)


def changed_since(before: dict, now: dict) -> list[str]:
    """Both are snapshots. Only what the customer reads counts."""
    found = [*_lines(before, now), *_options(before, now), *_when(before, now), *_names(before, now)]
    sign = now.get("sign", "")
    if before["total"] != now["total"]:
        found.append(f"{sign}{now['total']} together, before {sign}{before['total']}.")
    if before["deposit"] != now["deposit"] and before["total"] == now["total"]:
        found.append(f"The deposit is {sign}{now['deposit']}, before {sign}{before['deposit']}.")
    for key, words in (
        ("terms", "The terms are new."),
        ("allergens", "What is said about allergens is new."),
    ):
        if before.get(key) != now.get(key):
            found.append(words)
    return found


def _lines(before: dict, now: dict) -> list[str]:
    """Rows that came, went, or are another number or price."""
    old, new = _by_name(before), _by_name(now)
    sign, found = now.get("sign", ""), []
    for what, row in new.items():
        was = old.get(what)
        count = f"{row['how_many']} " if row["how_many"] else ""
        if was is None:
            found.append(f"New: {count}{_small(what)}.")
        elif was["how_many"] != row["how_many"]:
            found.append(f"{count}{_small(what)}, before {was['how_many'] or 'none'}.")
        elif was["each"] != row["each"] and row["each"]:
            found.append(f"{what}: {sign}{row['each']} each, before {sign}{was['each'] or 'by line'}.")
    found += [f"No longer: {_small(what)}." for what in old if what not in new]
    if not found and before.get("about") != now.get("about"):
        found.append(f"Made another way: {_small(now['about'].split('. Colours')[0])}.")
    return found


def _by_name(said: dict) -> dict[str, dict]:
    rows = said.get("lines", [])
    return {
        row["what"]: row
        for row in rows
        if row["what"] not in ROUNDING and not row["what"].startswith("Tax, ")
    }


def _options(before: dict, now: dict) -> list[str]:
    was = [one["title"] for one in before.get("options", [])[1:]]
    new = [one["title"] for one in now.get("options", [])[1:]]
    return [f"Also to choose: {_small(title)}." for title in new if title not in was]


def _when(before: dict, now: dict) -> list[str]:
    old, new, found = before["hand_over"], now["hand_over"], []
    if old["at"] != new["at"]:
        found.append(f"Hand-over {_moment(new['at'])}, before {_moment(old['at'])}.")
    if (old["way"], old["place"]) != (new["way"], new["place"]):
        to = f" to {new['place']}" if new["way"] == "delivered" and new["place"] else ""
        found.append(f"Now {new['way_words']}{to}, before {old['way_words']}.")
    return found


def _names(before: dict, now: dict) -> list[str]:
    old, new = before.get("names", []), now.get("names", [])
    if old == new:
        return []
    return [f"{len(new)} names, before {len(old)}." if len(old) != len(new) else "Other names to letter."]


def _moment(text: str) -> str:
    moment = datetime.fromisoformat(text)
    return f"{day(moment)}, {clock(moment)}"


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]
