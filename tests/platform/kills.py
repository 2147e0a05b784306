"""Many kills at random moments, and the count afterwards. By hand, for a long run:

python -m tests.platform.kills --kills 60 --seed 7
"""

import argparse
import random
import time
from collections import Counter

from tests.platform.harness import Client, Studio

PROBE = "tests.platform.probe.settings"


def run_kills(studio: Studio, *, kills: int, seed: int, gap: tuple[float, float] = (0.2, 2.5)) -> dict:
    """Ask for computations while web and worker are killed; returns the counts once all is quiet again."""
    chance = random.Random(seed)
    client = Client(studio.url)
    asked: list[str] = []
    killed = Counter()

    def ask() -> None:
        key = f"k{len(asked)}"
        asked.append(key)
        seconds, slow = chance.uniform(0.05, 1.2), chance.choice([0, 0, 0.3])
        client.post("/probe/", {"key": key, "seconds": seconds, "slow_effects": slow}, patience=30)

    for _ in range(kills):
        ask()
        time.sleep(chance.uniform(*gap))
        if chance.random() < 0.5:
            killed["worker"] += studio.kill_worker()
        else:
            studio.kill_web()
            killed["web"] += 1
            studio.open()
    ask()
    began = time.monotonic()
    studio.wait_for(lambda: not _active(studio), 90, "all computations to be over")
    return {
        "killed": dict(killed),
        "asked": len(asked),
        "states": dict(Counter(state for (state,) in _rows(studio, "state"))),
        "starts": sum(attempt for (attempt,) in _rows(studio, "attempt")),
        "marks": sorted(Counter(key for (key,) in studio.rows("SELECT key FROM probe_mark")).items()),
        "expected": sorted((key, 1) for key in asked),
        "quiet_after": time.monotonic() - began,
    }


def _rows(studio: Studio, column: str) -> list[tuple]:
    return studio.rows(f"SELECT {column} FROM background_computation WHERE kind = 'probe'")


def _active(studio: Studio) -> list[tuple]:
    return studio.rows("SELECT id FROM background_computation WHERE state IN ('queued', 'running')")


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
