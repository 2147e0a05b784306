"""Ten years of history: what the pages take.

    python benchmarks/history.py [--years 10] [--orders N] [--moves N] [--home FOLDER] [--times 40]

Makes the history by `make_history` in a folder of its own (or takes one that is there, with --home), signs in
and asks for each page as a browser would, in this process. Prints queries, and p50 and p95 of the processor's
time and of the clock; on a busy machine only the first says something of the pages. Goal: p95 below 100 ms.
"""

import argparse
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path


def options():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--years", type=int, default=10)
    parser.add_argument("--orders", type=int)
    parser.add_argument("--moves", type=int)
    parser.add_argument("--times", type=int, default=40)
    parser.add_argument("--home", type=Path)
    parser.add_argument("--only", default="", help="pages whose name has this in it")
    return parser.parse_args()


asked = options()
home = asked.home or Path(tempfile.mkdtemp(prefix="dryby-history-"))
os.environ["DRYBY_HOME"] = str(home)
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bakery.settings")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

import django  # noqa: E402

django.setup()

from django.contrib.auth import get_user_model  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402
from django.utils import timezone  # noqa: E402


def build():
    """The history, unless this folder has one."""
    from bakery.orders.models import Order
    from bakery.studio.example.fill import plan_example

    call_command("migrate", verbosity=0)
    if not Order.objects.exists():
        more = {
            name: getattr(asked, name) for name in ("orders", "moves") if getattr(asked, name) is not None
        }
        call_command("make_history", years=asked.years, **more)
        plan_example(timezone.now())
    get_user_model().objects.get_or_create(
        username="bench", defaults={"is_staff": True, "is_superuser": True}
    )


def pages():
    """Name and address of each page that is asked for."""
    from bakery.orders.models import Order
    from bakery.stock.models import Packet, StockItem

    past = Order.objects.filter(state="handed_over", number__gt=10_000).order_by("-hand_over_at")
    middle = past[past.count() // 2]
    live = Order.objects.filter(state__in=("booked", "kitchen", "approved")).order_by("hand_over_at").first()
    item = StockItem.objects.get(name="Flour")
    packet = Packet.objects.filter(item=item, left=0).order_by("pk").first() or Packet.objects.first()
    return [
        ("Tonight", "/tonight/"),
        ("Orders", "/orders/"),
        ("Orders, closed", "/orders/closed/"),
        ("Orders, closed, page 200", "/orders/closed/?page=200"),
        ("Orders, searched", "/orders/?q=regatta"),
        ("An order of years ago", f"/orders/{middle.number}/"),
        ("An order that is booked", f"/orders/{live.number}/"),
        ("What went into an order", f"/packets/of/{middle.key}/"),
        ("Cupboard", "/cupboard/"),
        ("An item of the cupboard", f"/cupboard/{item.pk}/"),
        ("A packet", f"/packets/{packet.code}/"),
        ("Packets", "/packets/"),
        ("Money, twelve months", "/money/"),
        ("Money, all years", "/money/?of=all"),
        ("Money, one year", f"/money/?of={timezone.localdate().year - 4}"),
        ("Week", "/week/"),
    ]


def measure(client, name, address):
    """One line of the table. The first two answers fill caches and do not count."""
    work, clock = [], []
    for n in range(asked.times + 2):
        begun, began = time.process_time(), time.perf_counter()
        answer = client.get(address)
        if n > 1:
            work.append((time.process_time() - begun) * 1000)
            clock.append((time.perf_counter() - began) * 1000)
    with CaptureQueriesContext(
        connection,
    ) as seen:
        client.get(address)
    p95 = [statistics.quantiles(some, n=20)[-1] for some in (work, clock)]
    print(
        f"{name:<26} {answer.status_code} {len(seen):>4} queries   work {statistics.median(work):6.1f} "
        f"p95 {p95[0]:6.1f} ms   clock {statistics.median(clock):6.1f} p95 {p95[1]:6.1f} ms   "
        f"{len(answer.content) / 1000:5.0f} kB", flush=True,
    )  # fmt: skip


def main():
    build()
    import bakery.wsgi  # noqa: F401  as the server does before its first page

    client = Client(HTTP_HOST="localhost")
    client.force_login(get_user_model().objects.get(username="bench"))
    for name, address in pages():
        if asked.only.lower() in name.lower():
            measure(client, name, address)
    print(f"History in {home}")


if __name__ == "__main__":
    main()
