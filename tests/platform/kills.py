"""Many kills at random moments, and the count afterwards. By hand, for a long run:

python -m tests.platform.kills --kills 60 --seed 7
"""

import argparse
import random
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

from tests.platform.harness import Client, Studio

PROBE = "tests.platform.probe.settings"


def kill_at_random(studio: Studio, act, *, kills: int, seed: int, gap=(0.2, 2.5)) -> Counter:
    """Call `act()` and, a random moment later, kill web or worker; so many times, and `act()` once more.

    For any work of a baker's client: give `act` a function whose requests are patient (`patience=30`).
    """
    chance = random.Random(seed)
    killed = Counter()
    for _ in range(kills):
        act()
        time.sleep(chance.uniform(*gap))
        if chance.random() < 0.5:
            killed["worker"] += studio.kill_worker()
        else:
            studio.kill_web()
            killed["web"] += 1
            studio.open()
    act()
    return killed


def wait_until_quiet(studio: Studio, seconds: float = 90) -> float:
    """Wait until no computation is queued or running; the seconds that took."""
    began = time.monotonic()
    active = "SELECT id FROM background_computation WHERE state IN ('queued', 'running')"
    studio.wait_for(lambda: not studio.rows(active), seconds, "all computations to be over")
    return time.monotonic() - began


def run_kills(studio: Studio, *, kills: int, seed: int) -> dict:
    """Ask for computations while web and worker are killed; returns the counts once all is quiet again."""
    chance = random.Random(f"asks {seed}")
    client = Client(studio.url)
    asked: list[str] = []

    def ask() -> None:
        key = f"k{len(asked)}"
        asked.append(key)
        seconds, slow = chance.uniform(0.05, 1.2), chance.choice([0, 0, 0.3])
        client.post("/probe/", {"key": key, "seconds": seconds, "slow_effects": slow}, patience=30)

    killed = kill_at_random(studio, ask, kills=kills, seed=seed)
    quiet_after = wait_until_quiet(studio)
    return {
        "killed": dict(killed),
        "asked": len(asked),
        "states": dict(Counter(state for (state,) in _rows(studio, "state"))),
        "starts": sum(attempt for (attempt,) in _rows(studio, "attempt")),
        "marks": sorted(Counter(key for (key,) in studio.rows("SELECT key FROM probe_mark")).items()),
        "expected": sorted((key, 1) for key in asked),
        "quiet_after": quiet_after,
    }


def change_from_many_sides(studio: Studio, *, changes: int = 40, sides: int = 8) -> list[int]:
    """Many clients change things at once, each change asking for the same computation; the answers' codes."""

    def change(number: int) -> int:
        data = {"key": f"change {number}", "seconds": 0.05 * (number % 3)}
        return Client(studio.url).post("/probe/change/", data, patience=10)[0]

    with ThreadPoolExecutor(sides) as pool:
        return list(pool.map(change, range(changes)))


def _rows(studio: Studio, column: str) -> list[tuple]:
    return studio.rows(f"SELECT {column} FROM background_computation WHERE kind = 'probe'")


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--kills", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    with Studio(settings=PROBE) as studio:
        studio.open()
        counts = run_kills(studio, kills=options.kills, seed=options.seed)
    right = counts.pop("marks") == counts.pop("expected")
    print(
        counts, "every computation took effect once" if right else "WRONG: effects lost or doubled", sep="\n"
    )
    raise SystemExit(not right)
