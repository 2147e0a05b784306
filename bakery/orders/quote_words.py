"""What a quote calls things, and how it draws them: the same for the order as asked and for its options."""

from __future__ import annotations

from bakery.craft.costing import made_simpler

from .adapters import drawing_of_line, line_spec
from .data import LineData
from .models import Order
from .simpler import as_offered, titles_of
from .text import plural

MOST_PICTURES = 6
LAYER_WORDS = {
    "flood": "a base coat of royal icing",
    "spray": "colour sprayed through a stencil",
    "icing_pass": "icing spread through a stencil",
    "piped": "details piped by hand",
    "lettering": "lettering by hand",
    "transfer": "small icing pieces made ahead",
    "wafer": "pieces of wafer paper",
    "brush": "painting by hand",
}
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
           "twelve")  # fmt: skip


def rows_of(order: Order, lines: tuple[LineData, ...]) -> list[tuple]:
    """Each line's data with its row: what is asked, beside the design, kind and base colour it is of."""
    rows = {row.pk: row for row in order.lines.all()}
    return [(rows[line.line], line) for line in lines if line.line in rows]


def merged(rows: list[tuple]) -> list[list[tuple]]:
    """Lines of one design (or kind) together, whatever their base colour."""
    groups: dict = {}
    for row, line in rows:
        key = ("design", row.design_id) if row.design_id else ("kind", row.kind_id)
        groups.setdefault(key, []).append((row, line))
    return list(groups.values())


def what_of(group: list[tuple]) -> str:
    """`Fern plaque, three base colours`."""
    first = group[0][0]
    name = first.design.name if first.design else first.kind.name
    bases = [row.variation.base.name for row, _ in group if row.variation]
    if len(bases) > 1:
        return f"{name}, {number(len(bases))} base colours"
    if bases:
        return f"{name}, {bases[0]}"
    designs = sum(_spec(row, line).designs for row, line in group)
    return f"{name}, {number(designs)} designs" if designs > 1 else name


def title_of(rows: list[tuple]) -> str:
    """`36 fern plaques`: how many of what."""
    groups = merged(rows)
    quantity = sum(line.quantity for _, line in rows)
    if len(groups) == 1 and groups[0][0][0].design:
        name = groups[0][0][0].design.name
        return f"{quantity} {name[0].lower()}{name[1:]}{'' if quantity == 1 or name.endswith('s') else 's'}"
    return plural(quantity, "cookie")


def about_of(rows: list[tuple]) -> str:
    """A sentence about how they are made, from their layers."""
    found, sizes, simpler = [], [], []
    for row, line in rows:
        simpler += as_offered(titles_of(line, row.design))
        if row.design:
            found += [LAYER_WORDS[layer.kind] for layer in _spec(row, line).layers]
            sizes.append(f"{row.design.width_mm} by {row.design.height_mm} mm")
    found = list(dict.fromkeys(found))
    kept = "; ".join(f"{title[0].lower()}{title[1:]}" for title in dict.fromkeys(simpler))
    last = f"{f'Kept simple: {kept}. ' if kept else ''}Colours may dry a shade deeper than this page."
    if not found:
        return last
    made = f"{', '.join(found[:-1])} and {found[-1]}" if len(found) > 1 else found[0]
    size = f"{', '.join(dict.fromkeys(sizes))}. " if len(set(sizes)) <= 2 else ""
    return f"{size}{made[0].upper()}{made[1:]}. {last}"


def pictures_of(rows: list[tuple], names: list[str], most: int = MOST_PICTURES) -> list[dict]:
    """The cookies drawn, each with its base colour's name and how many."""
    found, text = [], names[0][:14] if names else ""
    for row, line in rows[:most]:
        lettered = text if row.design or row.kind.key == "lettered" else ""
        drawing = drawing_of_line(line, row.design, row.variation, text=lettered)
        design = row.design.name if row.design else row.kind.name
        name = row.variation.base.name if row.variation else design
        found.append({"drawing": plain_drawing(drawing), "caption": f"{name}, {line.quantity}"})
    return found


def plain_drawing(drawing: dict) -> dict:
    """A drawing as data that JSON gives back unchanged."""
    return {key: value for key, value in drawing.items() if isinstance(value, str | bool)}


def _spec(row, line: LineData):
    return made_simpler(line_spec(line, "l1", row.design), line.ways)


def number(count: int) -> str:
    return NUMBERS[count] if count < len(NUMBERS) else str(count)
