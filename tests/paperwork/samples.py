"""Papers as content, without any database: what the pictures of the look show."""

PLAQUE = {"shape": "plaque", "motif": "fern", "stage": "done"}

QUOTE = {
    "label": "Quote 118, second version",
    "studio": "Lantern Steps",
    "strapline": "Cookies made to order at home, Ostrey Harbour",
    "address": "4 Lantern Steps, Ostrey Harbour",
    "made": "Monday 2 November 2026",
    "until": "Wednesday 4 November, 18:00",
    "title": "36 fern plaques for your supper",
    "whom": "For the Ostrey Botanical Society.",
    "how": "Ready to collect on",
    "when": "Friday 27 November 2026 at 15:00",
    "pictures": [
        {
            "drawing": PLAQUE | {"base": "#f1e8d3", "motif_colour": "#4f6b35", "dots": "#c99a45"},
            "caption": "Bone, 12",
            "size": 145,
        },
        {
            "drawing": PLAQUE | {"base": "#adbb9d", "motif_colour": "#2c4a2a", "dots": "#fdfcf6"},
            "caption": "Sage, 12",
            "size": 145,
        },
        {
            "drawing": PLAQUE | {"base": "#5d708a", "motif_colour": "#f1e8d3", "dots": "#fdfcf6"},
            "caption": "Slate, 12",
            "size": 145,
        },
    ],
    "about": "Vanilla plaques, 70 by 95 mm. A base coat of royal icing, a fern sprayed through a stencil, "
    "dots piped by hand. Colours may dry a shade deeper than this page.",
    "rows": [
        {"what": "Fern plaque, three base colours", "count": "36", "each": "6.40", "amount": "230.40"},
        {"what": "Each in a sealed bag, three boxes of 12", "count": "36", "each": "0.45", "amount": "16.20"},
    ],
    "sign": "£",
    "total": "246.60",
    "deposit": "123.30",
    "deposit_words": "Deposit, books the date",
    "balance": "123.30",
    "balance_words": "Balance, by Friday 20 November",
    "steps": [
        "Sign below, or answer in writing.",
        "Pay the deposit by 4 November, 18:00. Until then we keep the date for you.",
        "Change what you like until Friday 13 November.",
    ],
    "contains": "wheat, milk, egg",
    "care": "Made in a kitchen that also handles nuts and sesame. Full ingredients come with the boxes. "
    "Keep closed, dry and dark; best by 4 December. Please tell us of any allergy.",
    "terms": [],
}

NAMES = [f"Guest {letter}" for letter in "ABCDEFGHIJKLMNOPQRSTUVWX"]


def run(time, title, text="", count="", dry_by="", verdict="bare", tag="", sign=""):
    return {
        "time": time,
        "title": title,
        "text": text,
        "count": count,
        "dry_by": dry_by,
        "verdict": verdict,
        "tag": tag,
        "sign": sign,
    }


DAY = {
    "date": "2026-11-25",
    "title": "Wednesday 25 November",
    "hours": "Baking hours 18:30 to 22:30. Work 3 h 30, done 22:00.",
    "runs": [
        run(
            "07:00",
            "Touch the slate tray",
            "Middle of the thickest. Soft: fan on, door shut.",
            1,
            tag="any hour",
        ),
        run(
            "18:30",
            "Spray 42 ferns, three colours",
            "Bone on slate, leaf on bone, dark leaf on sage, 14 each. Clean "
            "between; wipe the stencil each tray.",
            42,
            "",
            "must",
            "start by 19:55",
            "moon",
        ),
        run(
            "20:00",
            "Pipe dots on 42 ferns",
            "Ochre on bone, white on sage and slate. 14 a cookie, icing at 20 s.",
            42,
            "Thu 15:45",
            "must",
            "start by 21:25",
            "moon",
        ),
        run(
            "20:45",
            "Letter 24 place cards",
            "Fern ink. Names below. Leave the 4 spares unlettered.",
            24,
            "Thu 16:40",
            "good",
            "or Thursday",
            "moon-hollow",
        ),
        run("21:40", "Wash up, strip the needle", "Scribe and pins: 2 out, 2 back. 20 min.", tag="last"),
    ],
    "names": [{"title": "Names to letter, 24", "names": list(NAMES), "columns": 6}],
    "groups": [
        {
            "key": "icing",
            "title": "Icing",
            "rows": [
                {"what": "Dots, ochre, 20 s", "amount": "20 g", "note": "", "brief": "2 ochre, 1 brown"},
                {"what": "Dots, white, 20 s", "amount": "40 g", "note": "", "brief": ""},
                {"what": "Letters, fern ink, 20 s", "amount": "60 g", "note": "", "brief": "5 leaf, 2 black"},
            ],
            "more": {},
        },
        {
            "key": "airbrush",
            "title": "Airbrush",
            "rows": [
                {"what": "Bone", "amount": "42 drops", "note": "", "brief": ""},
                {"what": "Leaf", "amount": "48 drops", "note": "", "brief": ""},
                {"what": "Dark leaf", "amount": "57 drops", "note": "", "brief": "48 leaf green and 9 black"},
            ],
            "more": {},
        },
    ],
    "rack": [
        {
            "places": "1, 4, 5",
            "what": "ferns, dots on",
            "state": "drying",
            "share": 0.9,
            "seed": 3,
            "dry_by": "Thu 15:45",
        },
        {
            "places": "2",
            "what": "place cards",
            "state": "drying",
            "share": 1,
            "seed": 4,
            "dry_by": "Thu 16:40",
        },
        {"places": "3", "what": "stall rounds, dry", "state": "dry", "dry_by": "any time"},
        {"places": "6, 7", "what": "burgees, bare", "state": "bare", "dry_by": "any time"},
        {
            "places": "8",
            "what": "transfers",
            "state": "drying",
            "share": 0.65,
            "seed": 5,
            "dry_by": "Wed 22:15",
        },
    ],
    "mind": [
        "Buy leaf green by 18:00: 25 drops short.",
        "Place cards: one guest, no nuts.",
        "Mask on, window open to spray.",
    ],
    "empty": "",
    "foot": "Lantern Steps, for you. Dots thin out as icing dries; "
    "at the bar it is dry even on a slow night.",
}
