"""The example's fourteen open orders. Days count from the first evening; see dates.py."""

from dataclasses import dataclass, field

from .people import PLACE_NAMES


@dataclass(frozen=True)
class WantedLine:
    design: str
    quantity: int
    base: str = ""
    packaging: str = "bag"
    stage: str = "nothing"
    stage_at: tuple[int, str] | None = None
    spares: int | None = None


@dataclass(frozen=True)
class Wanted:
    """One order as data. Moments are (day, clock)."""

    number: int
    who: str
    title: str
    hand_over: tuple[int, str]
    state: str
    lines: tuple[WantedLine, ...]
    asked: tuple[int, str] = (-14, "19:40")
    event: tuple[int, str] | None = None
    way: str = "collected"
    place: str = ""
    travel: int = 0
    soft: bool = False
    deposit: bool = False
    allergy: str = "none"
    allergies: str = ""
    price: str | None = None
    words: str = ""
    note: str = ""
    names: tuple[str, ...] = field(default=())
    held_until: tuple[int, str] | None = None


LAST_NIGHT = (-1, "21:30")

OPEN = (
    Wanted(
        117, "Ostrey Botanical Society", "Botanical Society supper", (3, "15:00"), "kitchen",
        (
            WantedLine("Fern plaque", 12, "Bone", stage="baked", stage_at=LAST_NIGHT, spares=2),
            WantedLine("Fern plaque", 12, "Sage", stage="baked", stage_at=LAST_NIGHT, spares=2),
            WantedLine("Fern plaque", 12, "Slate", stage="baked", stage_at=LAST_NIGHT, spares=2),
        ),
        asked=(-20, "10:15"), event=(3, "20:00"), deposit=True, price="198.00",
        words="Could you do 36 with the fern, on three grounds, for our supper? The green as last spring.",
    ),
    Wanted(
        118, "Boathouse long table", "Place cards, 24 names", (4, "10:00"), "kitchen",
        (WantedLine("Place card", 24, "Bone", "box", stage="baked", stage_at=LAST_NIGHT, spares=4),),
        asked=(-18, "08:30"), event=(4, "19:00"), deposit=True, price="100.80", allergy="told",
        allergies="No nuts, one guest", names=tuple(PLACE_NAMES),
        words="24 place cards with names please, list below. One of us must not have nuts.",
        note="Names signed off by Perrin.",
    ),
    Wanted(
        119, "Ostrey Sailing Club", "Sailing club prize night", (10, "17:00"), "kitchen",
        (WantedLine("Pole star burgee", 24, "Navy"),),
        asked=(-16, "21:05"), event=(10, "19:30"), way="delivered", place="the slip door", travel=25,
        deposit=True, price="148.00", words="24 burgees in navy with the star for prize night.",
    ),
    Wanted(
        120, "Dorcas Vell", "Retirement, Fair winds", (4, "17:00"), "kitchen",
        (WantedLine("Fair winds", 16, "Sea", "box", stage="flooded", stage_at=LAST_NIGHT, spares=3),),
        asked=(-12, "13:20"), event=(5, "12:00"), deposit=True, price="88.00",
        words="16 rounds saying Fair winds for my father's retirement from the pilot boat.",
    ),
    Wanted(
        121, "Ferry House tea room", "Quay stall", (4, "14:00"), "kitchen",
        (WantedLine("Plain round", 12, "Bone", stage="baked", stage_at=LAST_NIGHT, spares=2),),
        asked=(-6, "22:00"), way="stall", place="the stall", soft=True, price="34.00", allergy="not_asked",
    ),
    Wanted(
        122, "Tobin Farrow", "Thank-you stars", (1, "17:00"), "ready",
        (WantedLine("Thank-you star", 12, "Gold ochre", stage="packed", stage_at=LAST_NIGHT, spares=0),),
        asked=(-15, "12:00"), deposit=True, price="58.00",
        words="A dozen thank-you stars for the lifeboat kitchen.",
    ),
    Wanted(
        123, "Ostrey Chess Circle", "Chess weekend", (18, "12:00"), "booked",
        (WantedLine("Rook", 12, "Bone"), WantedLine("Rook", 12, "Slate")),
        asked=(-10, "18:00"), event=(18, "14:00"), deposit=True, price="96.00",
        words="Same as last year: 24 rooks, half light and half dark.",
    ),
    Wanted(
        124, "Elin Tarrant", "Wedding, monograms", (11, "09:00"), "approved",
        (WantedLine("Monogram oval", 60, "Ivory", "box", stage="baked"),),
        asked=(-40, "11:45"), event=(11, "13:00"), deposit=True, price="285.00",
        words="60 favours with our initials, ivory and gold.", note="Ovals are in the freezer.",
    ),
    Wanted(
        125, "Ammonite House museum", "Museum late opening", (4, "10:00"), "enquiry",
        (WantedLine("Ammonite", 48, "Bone"),),
        asked=(-1, "16:10"), event=(4, "17:00"), allergy="not_asked",
        words="Hello! We would love 48 of the ammonites for our late opening on the long day, 10 in the "
              "morning if you can. Sorry it is so soon.",
    ),
    Wanted(
        126, "Lantern Lane library", "Library story morning", (17, "15:00"), "booked",
        (WantedLine("Harbour boat", 12, "Sea"),),
        asked=(-5, "09:10"), event=(18, "10:00"), deposit=True, price="96.00", allergy="told",
        allergies="One child: milk", words="Twelve boats for the story morning.",
    ),
    Wanted(
        127, "Orla Penhale", "Naming day", (18, "14:00"), "quoted",
        (WantedLine("Two waves", 24, "Bone"),),
        asked=(-3, "20:30"), event=(19, "11:00"), price="96.00",
        words="Something with waves for our little one's naming day, about 24?",
    ),
    Wanted(
        128, "Harbour Lights committee", "Harbour lights walk", (18, "11:00"), "held",
        (WantedLine("Compass", 30, "Navy"),),
        asked=(-3, "19:00"), event=(18, "18:00"), way="delivered", place="the old light", travel=20,
        price="150.00", held_until=(1, "18:00"), words="30 compass stars on navy for the walk.",
    ),
    Wanted(
        129, "Ropewalk Rowing Club", "Rowing dinner", (24, "15:00"), "booked",
        (WantedLine("Compass", 18, "Slate"), WantedLine("Two waves", 18, "Bone")),
        asked=(-4, "07:50"), event=(24, "19:30"), deposit=True, price="171.00",
    ),
    Wanted(
        130, "Ferry House tea room", "Gift boxes for the quay", (25, "13:00"), "booked",
        (WantedLine("Plain round", 24, "Sea", "box"), WantedLine("Plain round", 24, "Sage", "box")),
        asked=(-3, "22:10"), deposit=True, price="168.00",
    ),
)  # fmt: skip

LEAST_NUMBER = 57
LAST_NUMBER = 130
