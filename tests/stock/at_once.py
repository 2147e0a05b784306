"""Several processes at the cupboard at the same moment, on whichever database the environment names.

    python -m tests.stock.at_once WORKER HOW_MANY

Each worker waits for the file `go` in DRYBY_HOME, then makes its calls as fast as it can and prints how many.
"""

import os
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

AT = datetime(2026, 11, 5, 19, tzinfo=UTC)
CALLS = 30


def main(worker: int, workers: int) -> None:
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bakery.settings")
    django.setup()
    from bakery.stock import ledger
    from bakery.stock.models import StockItem

    last, shared, other = StockItem.objects.order_by("pk")
    print("ready", flush=True)
    wait_for(Path(os.environ["DRYBY_HOME"]) / "go")
    for n in range(CALLS):
        # the last of a packet, by everybody
        ledger.use(item=last, quantity=1, order=f"o{worker}", at=AT, token=f"{worker} last {n}")
        # one evening, told by everybody: once in the books
        ledger.use(item=shared, quantity=2, order="o9", at=AT, token=f"evening {n}")
        # two items at once, in either order
        both = [ledger.Use(shared, 1, f"o{worker}"), ledger.Use(other, 1, f"o{worker}")]
        turned = both[:: 1 if worker % 2 else -1]
        ledger.use_many(uses=turned, at=AT, token=f"{worker} both {n}")
    print(CALLS, flush=True)


def wait_for(path: Path, seconds: float = 30) -> None:
    end = time.monotonic() + seconds
    while not path.exists():
        if time.monotonic() > end:
            raise SystemExit("Nobody said go.")
        time.sleep(0.002)


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
