"""The example's customers and the names to letter: all invented; numbers of the range kept for fiction."""

from bakery.customers.models import Customer

# name, allergies, note
PEOPLE = (
    ("Ostrey Botanical Society", "", "Honorary secretary: Linnet Quaye. Likes to see the green beforehand."),
    ("Boathouse long table", "No nuts, one guest", "Run by Perrin Ashdown."),
    ("Ostrey Sailing Club", "", "Deliver to the slip door, ring twice."),
    ("Dorcas Vell", "", ""),
    ("Ostrey Chess Circle", "", ""),
    ("Elin Tarrant", "", "Wedding, initials E T."),
    ("Harbour Lights committee", "", ""),
    ("Ammonite House museum", "", "Late openings are on the first long day of the month."),
    ("Lantern Lane library", "One child: milk", ""),
    ("Orla Penhale", "", ""),
    ("Ropewalk Rowing Club", "", ""),
    ("Isolde Marrack", "", "Pays at the door."),
    ("Quayside school", "Ask every time", ""),
    ("Tobin Farrow", "", ""),
    ("Hesper Lowe", "", ""),
    ("Bookbinders' Guild", "", ""),
    ("Anselm Pike", "Sesame", ""),
    ("Netloft Theatre", "", ""),
    ("Corisande Bray", "", ""),
    ("Ferry House tea room", "", "Every few weeks, plain ones."),
    ("Jowan Trease", "", ""),
    ("Ostrey Beekeepers", "", ""),
)

PLACE_NAMES = (
    "Ada", "Abel", "Bryn", "Cass", "Dov", "Elske", "Hugo", "Ines", "Ivo", "Jory", "Kofi", "Leda",
    "Marek", "Maud", "Noor", "Odile", "Pell", "Petra", "Rafe", "Silas", "Tilda", "Tomas", "Una", "Wilf",
)  # fmt: skip


def fill_people(dates) -> dict[str, Customer]:
    """The customers by name."""
    rows = Customer.objects.bulk_create(
        Customer(name=name, phone=f"01632 960{100 + 7 * number}", allergies=allergies, note=note,
                 email=f"{name.split()[-1].lower()}@ostrey.example" if number % 2 else "")
        for number, (name, allergies, note) in enumerate(PEOPLE)
    )  # fmt: skip
    return {row.name: row for row in rows}
