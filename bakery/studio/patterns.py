"""The page that shows every element and drawing once, for whoever builds a page."""

from django.shortcuts import render
from django.views.decorators.http import require_safe

from bakery.drawing import samples
from bakery.drawing.cookies import KINDS, STAGES

TOKENS = (
    "ink",
    "ink-2",
    "sheet",
    "paper",
    "night",
    "mist",
    "dough",
    "biscuit",
    "crust",
    "wet",
    "wet-2",
    "yes",
    "yes-t",
    "no",
    "no-t",
    "ask",
    "ask-t",
    "line",
    "rule",
    "edge",
)

RUNS = (
    {
        "number": 1,
        "verdict": "must",
        "time": "18:30",
        "by": "19:25",
        "title": "Mix three flood colours",
        "text": "Bone 570 g, sage 200 g, slate 200 g, each healing in 10 s. 35 min.",
        "bags": ("#f3ead6", "#adb99c", "#5d7088"),
    },
    {
        "number": 2,
        "verdict": "must",
        "time": "19:05",
        "by": "21:00",
        "title": "Bone flood: 60 cookies, 3 orders, 3 trays",
        "text": "14 ferns, 28 place cards, 18 for the stall, then cap the bag. 1 h 15. Usually dry by 07:20, "
        "on a slow night by 11:50.",
        "cookies": ({"shape": "plaque", "stage": "wet"}, {"shape": "card", "stage": "wet"}, {"stage": "wet"}),
    },
)
LATER = (
    {
        "number": 5,
        "verdict": "good",
        "time": "21:20",
        "note": "or Wed",
        "title": "Roll and bake 28 burgees, 2 sheets",
        "text": "One disc of dough, 177 °C, 9 min a sheet. 40 min. Sailing club.",
        "cookies": ({"shape": "burgee", "stage": "blank"},),
    },
    {
        "number": 6,
        "verdict": "safe",
        "time": "22:00",
        "note": "to be safe",
        "title": "Pipe 20 transfers, “Fair winds”",
        "text": "16 to use, 4 to break. Ink blue, 60 g. 15 min. Retirement.",
        "cookies": (samples.WINDS,),
    },
    {
        "number": 7,
        "verdict": "bare",
        "time": "22:15",
        "note": "or earlier",
        "title": "Wash up, 15 min",
        "text": "Whenever you stop.",
    },
)
ORDERS = (
    {
        "date": "Sat 5 Dec",
        "how": "asked 10:00",
        "design": samples.AMMONITE,
        "title": "Museum late opening, 48",
        "href": "#",
        "state": "enquiry",
        "word": "Enquiry",
        "next": "Not as asked; 17:00 would do. Asked on Monday.",
        "action": "Answer",
        "action_href": "#",
        "main": True,
    },
    {
        "date": "Sat 12 Dec",
        "how": "11:00, delivered",
        "design": samples.COMPASS,
        "title": "Harbour lights walk, 30",
        "href": "#",
        "state": "held",
        "word": "Held until tomorrow 18:00",
        "next": "Quoted £187.00, no answer yet.",
        "action": "Remind",
        "action_href": "#",
    },
    {
        "date": "Fri 27 Nov",
        "how": "15:00, collected",
        "design": samples.SAGE,
        "title": "Botanical Society supper, 36",
        "href": "#",
        "state": "kitchen",
        "word": "In the kitchen",
        "next": "Next: mix and flood, tonight 18:30.",
        "action": "Open",
        "action_href": "#",
    },
)
STEPS = (
    {"state": "enquiry", "word": "Enquiry, 6 Nov"},
    {"state": "quoted", "word": "Quoted, 7 Nov"},
    {"state": "booked", "word": "Booked, 8 Nov"},
    {"state": "kitchen", "word": "In the kitchen", "current": True},
    {"state": "ready", "word": "Ready", "later": True},
    {"state": "handed_over", "word": "Handed over", "later": True},
)
WAYS = (
    {"words": "Hand over at 17:00; their event is at 18:30", "gain": "3 h 50 to spare", "value": "1"},
    {"words": "Bake on Saturday 28 November and freeze", "gain": "30 min to spare", "value": "2"},
)
WEEKS = (
    {"label": "This week", "left": "6 h 05 left", "note": "about 5 dozen plain", "dozens": 5},
    {"label": "From 30 Nov", "left": "12 h 00 left", "note": "about 11 dozen plain", "dozens": 11},
    {"label": "From 7 Dec", "left": "17 h 20 left", "note": "about 16 dozen; 1 quote is held", "dozens": 16},
    {
        "label": "From 28 Dec",
        "left": "Closed",
        "note": "by you, on 2 November",
        "closed": True,
        "href": "#",
        "action": "Open it again",
    },
)
NAMES = ("Ada", "Abel", "Bryn", "Cass", "Dov", "Elske", "Hugo", "Ines", "Ivo", "Jory", "Kofi", "Leda")


def context() -> dict:
    """What the pattern page shows: invented, fixed values."""
    from bakery.drawing.signs import SIGNS, STATES

    old, new, phone = samples.bars()
    return {
        "nav": "patterns",
        "show_nav": True,
        "tokens": TOKENS,
        "signs": SIGNS,
        "states": STATES,
        "stages": STAGES,
        "tray": samples.TRAY,
        "others": samples.MORE,
        "kinds": KINDS.items(),
        "fern": samples.SAGE,
        "card": samples.CARD,
        "band": (samples.BONE, samples.SAGE, samples.SLATE, samples.CARD),
        "evening": samples.evening(),
        "steps": STEPS,
        "runs": RUNS,
        "later": LATER,
        "orders": ORDERS,
        "chain": samples.CHAIN,
        "week": samples.week(),
        "late_week": samples.late_week(),
        "ways": WAYS,
        "weeks": WEEKS,
        "names": NAMES,
        "bar_old": old,
        "bar_new": new,
        "bar_phone": phone,
        "rows": (
            ("Your time, 8 h 40 at £16.00", "138.67"),
            ("Dough and icing, 56 cut for 48", "17.36"),
            ("Colour", "2.90"),
        ),
        "total": ("To the nearest pound", "159.00"),
    }


@require_safe
def patterns(request):
    return render(request, "studio/patterns.html", context())
