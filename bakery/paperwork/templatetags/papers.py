"""The one drawing that only papers have: a tray's night on the rack, in black."""

from django import template
from django.utils.safestring import mark_safe

from bakery.drawing import mist, svg

register = template.Library()
WIDTH, HEIGHT, POST = 60, 19, 3


@register.simple_tag
def rack_mist(row):
    """Mist up to its bar for a tray that dries; a plain line for one that only waits."""
    if row.get("state") != "drying":
        body = f'<path d="M0 {HEIGHT / 2}h{WIDTH}" stroke="#000" stroke-width="1.4" fill="none"/>'
        return mark_safe(svg.frame(WIDTH, HEIGHT, body))
    bar = 12 + (WIDTH - 12 - POST) * min(max(float(row.get("share", 1)), 0.1), 1.0)
    places = mist.dots(round(bar - 5), HEIGHT, seed=int(row.get("seed", 1)))
    dots = "".join(f"M{svg.num(x)} {svg.num(y)}h0" for x, y in places)
    body = (
        f'<path d="{dots}" fill="none" stroke="#000" stroke-width="2.2" stroke-linecap="round"/>'
        f'<path d="M{svg.num(bar)} 0v{HEIGHT}" stroke="#000" stroke-width="{POST}" fill="none"/>'
    )
    return mark_safe(svg.frame(WIDTH, HEIGHT, body))  # figures only: no word of hers is in it


MOON = "M15.6 12.9A7 7 0 1 1 8.3 3a5.8 5.8 0 0 0 7.3 9.9Z"
MOONS = {
    "moon": 'fill="#fff" stroke="#fff"',
    "moon-dashed": 'fill="none" stroke="#000" stroke-dasharray="0.1 3.9"',
    "moon-hollow": 'fill="none" stroke="#000"',
}


@register.simple_tag
def tag_moon(name):
    """The moon of a start tag: white on the solid one. A PDF does not know the current colour."""
    look = MOONS.get(name)
    if not look:
        return ""
    body = f'<path d="{MOON}" {look} stroke-width="1.9" stroke-linecap="round" stroke-linejoin="round"/>'
    return mark_safe(svg.frame(15, 15, body, view="0 0 20 20"))
