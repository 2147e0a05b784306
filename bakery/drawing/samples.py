"""An invented week for the pattern page and the tests: fixed dates, so that the same picture always comes
out.
"""

from datetime import UTC, datetime, timedelta

from .chain import Step
from .cookies import Cookie
from .evenings import Bar, BarBlock
from .runout import RunDown
from .runout import Step as Fall
from .shortfall import Shortfall, Slice
from .strip import Block, Drying, Evening
from .week import HandOver, Outage, Piece, Session, Spell, Stay, Week, Work

BONE = Cookie(shape="plaque", base="#f3ead6", motif="fern", motif_colour="#4f7040", dots="#c99d45")
SAGE = Cookie(shape="plaque", base="#adb99c", motif="fern", motif_colour="#2c4a2e", dots="#fffefa")
SLATE = Cookie(shape="plaque", base="#5d7088", motif="fern", motif_colour="#f3ead6", dots="#fffefa")
CARD = Cookie(shape="card", base="#f3ead6", frame="#b08d3e", text="Odile")
BURGEE = Cookie(
    shape="burgee", base="#22355c", motif="star", motif_colour="#f8f1e2", frame="#fffefa", stitch=True
)
SHORTFALL = Shortfall(
    1020,
    (Slice(420, "Wedding, 7 h"), Slice(180, "Chess weekend, 3 h"), Slice(490, "this one, 8 h 10", True)),
    "17 h of baking hours. Needed: Wedding, 7 h; Chess weekend, 3 h; this one, 8 h 10. 1 h 10 too many.",
    "17 h there",
    "1 h 10 too many",
)
_NOON = datetime(2026, 11, 24, 12, tzinfo=UTC)
RUN_DOWN = RunDown(
    _NOON,
    _NOON + timedelta(days=14),
    1000,
    (
        Fall(_NOON + timedelta(days=3), 700, "Friday 12:00: 300 g for the ferns, then 700 g left"),
        Fall(_NOON + timedelta(days=9), -150, "Thursday 3 December 12:00: 850 g for the wedding"),
    ),
    (Fall(_NOON + timedelta(days=3), 700), Fall(_NOON + timedelta(days=6), 500)),
    300,
    "Butter: about 150 g short on Thursday 3 December.",
    again_words="buy again, 300 g",
)
WINDS = Cookie(base="#bcd3d0", dots="#fffefa", text="Fair winds", text_colour="#1f4450")
ROOK = Cookie(shape="square", base="#f1e6c8", motif="rook", motif_colour="#5c3a21")
MONOGRAM = Cookie(
    shape="oval", base="#f8f1e2", motif="monogram", motif_colour="#7d6320", dots="#b08d3e", text="ET"
)
AMMONITE = Cookie(base="#e6d1a2", motif="ammonite", motif_colour="#6b3d1e", motif_2="#c08a45", dots="#fffefa")
BOAT = Cookie(base="#bcd3d0", motif="boat")
COMPASS = Cookie(base="#5d7088", motif="star", motif_colour="#f8f1e2")
PLAIN = Cookie()
TRAY = (BONE, CARD, WINDS, BURGEE, SLATE, ROOK, MONOGRAM, AMMONITE, SAGE, BOAT, COMPASS, CARD)
MORE = (
    Cookie(
        shape="square",
        base="#f3ead6",
        motif="knot",
        motif_colour="#c99d45",
        motif_2="#7d5a22",
        frame="#5d7088",
    ),
    Cookie(base="#5e8a93", motif="shell", motif_colour="#f3e3d0", motif_2="#c2896a", dots="#fffefa"),
    Cookie(shape="plaque", base="#bcd3d0", motif="lighthouse", motif_colour="#a33d2c", motif_2="#fffaf0"),
    Cookie(shape="leaf", base="#7d9460", motif="leaf", motif_colour="#66804b", motif_2="#33472a"),
    Cookie(shape="hexagon", base="#e8c877", motif="bee", motif_colour="#6b4a1e", motif_2="#fffaf0"),
    Cookie(shape="heart", base="#c9808a", dots="#fffaf0", text="Ines", text_colour="#4a1820"),
    Cookie(shape="star", base="#f1e6c8", text="24", text_colour="#5c3a21"),
    Cookie(shape="house", base="#f3ead6", motif="lantern", motif_colour="#22355c", motif_2="#e8c877"),
    Cookie(shape="oval", base="#22355c", motif="anchor", motif_colour="#f8f1e2", dots="#c99d45"),
    Cookie(base="#f8f1e2", motif="holly", motif_colour="#3d6340", motif_2="#a3302c", dots="#3d6340"),
    Cookie(base="#22355c", motif="snowflake", motif_colour="#e8eff4"),
    Cookie(
        shape="square",
        base="#adb99c",
        motif="daisy",
        motif_colour="#fffaf0",
        motif_2="#e0b65c",
        dots="#fffaf0",
    ),
    Cookie(shape="plaque", base="#f1e6c8", motif="wheat", motif_colour="#8a5f1d"),
    Cookie(base="#bcd3d0", motif="gull", motif_colour="#22355c", motif_2="#5e8a93"),
    Cookie(shape="square", base="#f8f1e2", motif="knight", motif_colour="#2b2b33", motif_2="#f8f1e2"),
    Cookie(base="#e6d1a2", motif="waves", motif_colour="#5e8a93"),
)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, day, hour, minute, tzinfo=UTC)


def evening(*, safe: bool = False) -> Evening:
    blocks = [
        Block(at(24, 18, 30), at(24, 19, 5), "1", "Mix", "must", "Mix three flood colours"),
        Block(at(24, 19, 5), at(24, 20, 20), "2", "Bone, 60", "must", "Bone flood: 60 cookies"),
        Block(at(24, 20, 20), at(24, 20, 50), "3", "Sage", "must", "Sage flood: 14 ferns"),
        Block(at(24, 20, 50), at(24, 21, 20), "4", "Slate", "must", "Slate flood: 14 ferns"),
        Block(at(24, 21, 20), at(24, 22, 0), "5", "Bake", "good", "Roll and bake 28 burgees"),
        Block(
            at(24, 22, 0), at(24, 22, 15), "6", "Transfers", "safe" if safe else "good", "Pipe 20 transfers"
        ),
        Block(at(24, 22, 15), at(24, 22, 30), "7", "Wash up", "bare", "Wash up"),
    ]
    trays = (
        (BONE, (19, 30), (11, 5), "dry by 11:05", True),
        (CARD, (19, 58), (11, 35), "11:35", False),
        (PLAIN, (20, 15), (11, 50), "11:50", False),
        (SAGE, (20, 46), (12, 20), "12:20", False),
        (SLATE, (21, 16), (12, 50), "dry by 12:50", True),
    )
    rack = [
        Drying(
            Cookie(shape=c.shape, base=c.base, stage="wet"),
            at(24, *start),
            at(25, *slow),
            at(25, *slow) - timedelta(hours=4, minutes=30),
            words,
            strong,
        )
        for c, start, slow, words, strong in trays
    ]
    rack.append(
        Drying(
            Cookie(shape="burgee", stage="blank"),
            at(24, 21, 50),
            words="28 burgees cool, bare; Thursday they are flooded",
        )
    )
    return Evening(at(24, 18, 30), at(24, 22, 30), tuple(blocks), tuple(rack), at(24, 21, 20))


CHAIN = (
    Step("work", "Flood bone", "tonight 19:05", "0 h 30", now=True),
    Step("wait", "Base dries", "by Wed 11:05", "15 h 30"),
    Step("work", "Spray ferns", "Wed 18:30", "1 h 30"),
    Step("work", "Pipe dots", "Wed 20:00", "0 h 45"),
    Step("wait", "Dries through", "by Thu 15:45", "19 h 00"),
    Step("work", "Bag and box", "Thu 18:30", "0 h 40"),
    Step("hand_over", "Hand-over", "Fri 15:00"),
)


def _work(day: int, runs: str, *, who: str = "you") -> list[Work]:
    """ "18:30 35 Mix 3*": start, minutes, words; * is the picked order's, - is washing up."""
    out = []
    for run in runs.split(";"):
        clock, minutes, words = run.strip().split(" ", 2)
        hour, minute = map(int, clock.split(":"))
        start = at(day, hour, minute)
        label, _, second = words.rstrip("*-").partition("/")
        out.append(
            Work(
                start,
                start + timedelta(minutes=int(minutes)),
                label,
                second,
                words.endswith("*"),
                words.endswith("-"),
                who,
            )
        )
    return out


def _stay(place: int, picked: bool, *pieces: tuple[str, datetime, datetime]) -> Stay:
    return Stay(place, tuple(Piece(*p) for p in pieces), picked)


def week() -> Week:
    evenings = ((24, "Tue"), (25, "Wed"), (26, "Thu"), (27, "Fri"))
    sessions = (
        *(Session(at(d, 18, 30), at(d, 22, 30), f"{n} {d}", "18:30 to 22:30") for d, n in evenings),
        Session(at(28, 9), at(28, 15), "Sat 28", "9:00 to 15:00"),
    )
    work = (
        _work(
            24,
            "18:30 35 Mix 3*;19:05 75 Bone/60*;20:20 30 Sage 14*;20:50 30 Slate 14*;21:20 40 "
            "Bake 28;22:00 15 Pipe;22:15 15 Wash-",
        )
        + _work(25, "18:30 90 Spray/ferns*;20:00 45 Dots*;20:45 55 Letter;21:40 20 Wash-")
        + _work(26, "18:30 40 Bag 36*;19:10 15 Mix;19:25 45 Navy;20:10 30 Sea 19;20:40 15 Wash-")
        + _work(27, "18:30 45 Stars;19:15 30 Stick 20;19:45 45 Bag;20:30 20 Wash-")
        + _work(
            28, "9:00 40 Bag 40;10:00 10 Door;10:15 90 Bake/chess;11:45 25 Mix;12:10 15 Wash-;14:15 45 Drive"
        )
    )
    stays = (
        _stay(
            0,
            True,
            ("work", at(24, 19, 5), at(24, 19, 35)),
            ("mist", at(24, 19, 35), at(25, 11, 5)),
            ("wait", at(25, 11, 5), at(25, 18, 30)),
            ("work", at(25, 18, 30), at(25, 19)),
            ("wait", at(25, 19), at(25, 20)),
            ("work", at(25, 20), at(25, 20, 15)),
            ("mist", at(25, 20, 15), at(26, 15, 15)),
            ("wait", at(26, 15, 15), at(26, 18, 30)),
            ("work", at(26, 18, 30), at(26, 18, 45)),
        ),
        _stay(
            1,
            False,
            ("work", at(24, 19, 35), at(24, 20, 5)),
            ("mist", at(24, 20, 5), at(25, 11, 35)),
            ("wait", at(25, 11, 35), at(25, 20, 45)),
            ("work", at(25, 20, 45), at(25, 21, 40)),
            ("mist", at(25, 21, 40), at(26, 16, 40)),
            ("wait", at(26, 16, 40), at(27, 19, 45)),
            ("work", at(27, 19, 45), at(27, 20, 10)),
        ),
        _stay(
            2,
            False,
            ("work", at(24, 20, 5), at(24, 20, 20)),
            ("mist", at(24, 20, 20), at(25, 17)),
            ("wait", at(25, 17), at(27, 19, 15)),
            ("work", at(27, 19, 15), at(27, 19, 30)),
        ),
        _stay(
            3,
            True,
            ("work", at(24, 20, 20), at(24, 20, 50)),
            ("mist", at(24, 20, 50), at(25, 12, 20)),
            ("wait", at(25, 12, 20), at(25, 19)),
            ("work", at(25, 19), at(25, 19, 30)),
            ("wait", at(25, 19, 30), at(25, 20, 15)),
            ("work", at(25, 20, 15), at(25, 20, 30)),
            ("mist", at(25, 20, 30), at(26, 15, 30)),
            ("wait", at(26, 15, 30), at(26, 18, 45)),
            ("work", at(26, 18, 45), at(26, 18, 58)),
        ),
        _stay(
            4,
            True,
            ("work", at(24, 20, 50), at(24, 21, 20)),
            ("mist", at(24, 21, 20), at(25, 12, 50)),
            ("wait", at(25, 12, 50), at(25, 19, 30)),
            ("work", at(25, 19, 30), at(25, 20)),
            ("wait", at(25, 20), at(25, 20, 30)),
            ("work", at(25, 20, 30), at(25, 20, 45)),
            ("mist", at(25, 20, 45), at(26, 15, 45)),
            ("wait", at(26, 15, 45), at(26, 18, 58)),
            ("work", at(26, 18, 58), at(26, 19, 10)),
        ),
        _stay(
            5,
            False,
            ("wait", at(24, 22), at(26, 19, 25)),
            ("work", at(26, 19, 25), at(26, 19, 48)),
            ("mist", at(26, 19, 48), at(27, 10, 30)),
            ("wait", at(27, 10, 30), at(27, 18, 30)),
            ("work", at(27, 18, 30), at(27, 18, 52)),
            ("mist", at(27, 18, 52), at(28, 4)),
            ("wait", at(28, 4), at(28, 9)),
            ("work", at(28, 9), at(28, 9, 12)),
        ),
        _stay(7, False, ("work", at(24, 22), at(24, 22, 15)), ("mist", at(24, 22, 15), at(25, 22, 15))),
        _stay(
            8,
            False,
            ("work", at(26, 20, 10), at(26, 20, 40)),
            ("mist", at(26, 20, 40), at(27, 12, 10)),
            ("wait", at(27, 12, 10), at(27, 19, 15)),
            ("work", at(27, 19, 15), at(27, 19, 45)),
            ("mist", at(27, 19, 45), at(28, 8, 30)),
            ("work", at(28, 9, 20), at(28, 9, 32)),
        ),
    )
    return Week(
        at(24, 18, 30),
        at(28, 18),
        sessions,
        tuple(work),
        stays,
        12,
        oven=(
            Spell(at(24, 21, 35), at(24, 21, 55), "2 sheets"),
            Spell(at(28, 11), at(28, 11, 40), "3 sheets"),
        ),
        airbrush=(
            Spell(at(25, 18, 30), at(25, 20), "bone, leaf, dark leaf", ("#f0e6d3", "#4d6b37", "#2c4a2e")),
            Spell(at(27, 18, 30), at(27, 19, 8), "white", ("#f8f1e2",)),
        ),
        hand_overs=(
            HandOver(at(27, 15), "118  15:00", picked=True),
            HandOver(at(28, 8), "124, stall  8:00", soft=True),
            HandOver(at(28, 10), "122  10:00"),
            HandOver(at(28, 15), "121  15:00"),
            HandOver(at(28, 17), "119  17:00"),
        ),
    )


def late_week() -> Week:
    """The same with the airbrush out, a helper, and one order late."""
    whole = week()
    return Week(
        whole.start,
        whole.end,
        whole.sessions,
        whole.work + tuple(_work(26, "18:30 35 Bag;19:05 60 Roll", who="helper")),
        whole.stays,
        18,
        whole.oven,
        whole.airbrush[1:],
        (Outage("airbrush", at(24, 18, 30), at(26, 18, 30), "out until Thursday 18:30"),),
        (*whole.hand_overs[:2], HandOver(at(28, 11), "137, 11:00", late="late 3 h 25")),
        True,
        (Session(at(26, 18, 30), at(26, 21, 30)),),
    )


def bars() -> tuple[Bar, ...]:
    wed, done = at(25, 18, 30), at(25, 22, 30)

    def b(h: int, m: int, minutes: int, label: str, look: str) -> BarBlock:
        start = at(25, h, m)
        return BarBlock(start, start + timedelta(minutes=minutes), label, look)

    old = (
        b(18, 30, 90, "Spray", "plain"),
        b(20, 0, 45, "Dots", "plain"),
        b(20, 45, 55, "Letter", "was"),
        b(21, 40, 20, "", "bare"),
    )
    new = (
        b(18, 30, 90, "Spray", "plain"),
        b(20, 0, 45, "Dots", "plain"),
        b(20, 45, 40, "Bake", "moved"),
        b(21, 25, 15, "Pipe", "moved"),
        b(21, 40, 20, "", "bare"),
    )
    phone = (
        b(18, 30, 90, "Spray ferns", "must"),
        b(20, 0, 45, "Dots", "work"),
        b(20, 45, 55, "Letter 24", "work"),
        b(21, 40, 20, "", "bare"),
    )
    return Bar(wed, done, old, "night"), Bar(wed, done, new, "night"), Bar(wed, done, phone)
