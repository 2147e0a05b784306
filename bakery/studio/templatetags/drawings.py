"""Pictures and small helpers for templates. The drawings themselves live in bakery.drawing, without
Django.
"""

import re

from django import template
from django.utils.html import format_html
from django.utils.safestring import mark_safe

from bakery.drawing import chain as chains
from bakery.drawing import cookies, evenings, mist, runout, signs, strip, svg, things, week
from bakery.drawing import shortfall as shortfalls

register = template.Library()


def _safe(drawing: str) -> str:
    # Every word in a drawing has gone through svg.clean; tests/drawing/test_hostile_text.py holds that.
    return mark_safe(drawing)


@register.simple_tag
def sign(name, size=20):
    """{% sign "moon" %}"""
    return _safe(signs.sign(name, size=size))


@register.simple_tag
def state(name, size=24):
    """{% state order.state %}: the plaque alone; the word stands beside it."""
    return _safe(signs.state(str(name), size=size))


@register.simple_tag(name="mark")
def house_mark(size=32):
    return _safe(signs.mark(size=size))


@register.simple_tag
def cookie(spec, size=66, text=None, stage=None, label=""):
    """{% cookie design.drawing size=66 %}: a spec is a mapping with the fields of
    bakery.drawing.cookies.Cookie.
    """
    return _safe(cookies.cookie(spec, size=float(size), text=text, stage=stage, label=label))


@register.simple_tag
def kind_cookie(kind, size=66, text=None):
    """{% kind_cookie "stencil_detail" %}: what a kind usually looks like."""
    return _safe(cookies.cookie(cookies.KINDS.get(kind, cookies.KINDS["plain"]), size=float(size), text=text))


@register.simple_tag(name="mist")
def mist_tag(width=140, height=18, seed=1, bar=True, share=None):
    """{% mist 120 18 seed %}: a wait, drying to its bar."""
    width, height = float(width), float(height)
    dots = mist.mist(
        width - (14 if bar else 0), height, seed=int(seed), share=tuple(share) if share else mist.USUAL
    )
    post = svg.rect(width - 3.5, 0, 3, height, svg.paint("ink"), r=0) if bar else ""
    return _safe(svg.frame(width, height, dots + post))


@register.simple_tag
def room(dozens, size=20):
    """{% room dozens %}: one small plain cookie is room for a dozen."""
    return _safe(things.room(dozens or 0, size=float(size)))


@register.simple_tag
def bottle(colour, level, size=66, mark=False, label=""):
    return _safe(things.bottle(colour, level, size=float(size), mark=mark, label=label))


@register.simple_tag
def bag(colour, size=58, label=""):
    return _safe(things.bag(colour, size=float(size), label=label))


@register.simple_tag
def box(size=54):
    return _safe(things.box(size=float(size)))


@register.simple_tag
def packet(size=54):
    return _safe(things.packet(size=float(size)))


@register.simple_tag
def drops(count, colour, size=26):
    return _safe(things.drops(count, colour, size=float(size)))


@register.simple_tag
def swatch(colour, width=130, height=68, second="", label=""):
    return _safe(things.swatch(colour, width=float(width), height=float(height), second=second, label=label))


@register.simple_tag
def tray(done, total, width=400):
    return _safe(things.tray(done, total, width=float(width)))


@register.simple_tag
def drawn(picture):
    """{% drawn view.picture %}: a drawing that bakery.drawing made elsewhere."""
    return _safe(picture)


@register.simple_tag
def empty_tray():
    return _safe(things.empty_tray())


@register.simple_tag(name="chain")
def chain_tag(steps):
    """{% chain steps %}: an ordered list; beside the words a picture for wide pages and one for a phone."""
    return _safe(chains.chain_list(steps))


@register.simple_tag(name="evening_strip")
def evening_strip(evening):
    return _safe(strip.evening_strip(evening))


@register.simple_tag
def evening_picture(evening):
    """{% evening_picture evening %}: the strip for wide screens, for tablets and for a phone; one of them
    shows.
    """
    wide, tablet = strip.evening_strip(evening), strip.evening_strip(evening, width=930)
    return _safe(
        f'<div class="strip"><div class="strip__wide">{wide}</div><div class="strip__tablet">{tablet}</div>'
        f'<div class="strip__phone">{strip.phone_strip(evening)}</div></div>'
    )


@register.simple_tag
def phone_strip(evening):
    return _safe(strip.phone_strip(evening))


@register.simple_tag
def week_picture(picture):
    return _safe(week.week_picture(picture))


@register.simple_tag
def evening_bar(bar):
    return _safe(evenings.evening_bar(bar))


@register.simple_tag(name="shortfall")
def shortfall_tag(facts):
    """{% shortfall facts %}: the time there is and the work that is too much for it; one of two shows."""
    wide = shortfalls.shortfall(facts, cls="shortfall--wide")
    return _safe(wide + shortfalls.shortfall(facts, width=310, cls="shortfall--narrow"))


@register.simple_tag(name="run_down")
def run_down_tag(facts):
    """{% run_down facts %}: how an item runs down, for a desk and for a phone; one of two shows."""
    wide = runout.run_down(facts, cls="run-down--wide")
    return _safe(wide + runout.run_down(facts, width=342, height=190, cls="run-down--narrow"))


_UNIT = re.compile(
    r"(?<=\d) (?=(?:h|min|s|g|kg|ml|mm|cm|cm²|%|°C|drops|trays?|dozen|cookies|names)\b|[%°])|(?<=\bh) (?=\d)"
)


@register.filter(is_safe=True)
def units(words):
    """A number and its unit stay together: "4 h 15", "240 g", "18.5 °C"."""
    return _UNIT.sub("\u00a0", words) if isinstance(words, str) else words


_SIGN_OF_ANSWER = {"yes": "tick", "no": "cross", "ask": "question"}
_TONE_OF_LEVEL = {
    "success": "yes",
    "error": "no",
    "warning": "ask",
    "info": "plain",
    "debug": "plain",
    "": "plain",
}


@register.filter
def tone(level):
    """yes, no, ask or plain, from a tone or from the level of a message."""
    first = str(level or "").split(" ")[-1]
    return _TONE_OF_LEVEL.get(first, first)


@register.simple_tag
def tone_sign(level):
    name = _SIGN_OF_ANSWER.get(tone(level))
    return _safe(signs.sign(name)) if name else ""


@register.simple_tag
def answer_sign(answer):
    name = _SIGN_OF_ANSWER.get(answer or "")
    return _safe(signs.sign(name)) if name else ""


# Which pages light which entry of the navigation: the beginnings of their URL names.
_BELONGS = {
    "tonight": ("tonight", "morning", "proposal", "start"),
    "order_list": ("order", "new_order", "quote", "enquir"),
    "week": ("week",),
    "design_list": ("design",),
    "colours": ("colour",),
    "cupboard": ("cupboard", "stock"),
    "setup": ("setup",),
    "new_order": ("new_order",),
}


@register.simple_tag(takes_context=True)
def here(context, *names, apart=""):
    """aria-current for the entry of the page that is open; `nav` in the context wins over the URL's name.

    `apart` names an entry that has its own place beside this one and so does not light it too.
    """
    request = context.get("request")
    match = getattr(request, "resolver_match", None)
    page = context.get("nav") or (getattr(match, "url_name", "") or "")
    if not page or (apart and page.startswith(_BELONGS.get(apart, (apart,)))):
        return ""
    for name in names:
        if page.startswith(_BELONGS.get(name, (name,))):
            return format_html(' aria-current="{}"', "page" if page == name else "true")
    return ""


@register.simple_block_tag
def plaque(content, answer="", title="", large=False, id="", live=False):
    """{% plaque "yes" title="Yes, Saturday 17:00" %}…{% endplaque %}: only for what was computed."""
    return format_html(
        '<section class="plaque{}"{}{}>{}{}</section>',
        f" plaque--{answer}" if answer else "",
        format_html(' id="{}"', id) if id else "",
        mark_safe(' aria-live="polite"') if live else "",
        format_html(
            '<h2 class="plaque__title{}">{}<span>{}</span></h2>',
            " plaque__title--large" if large else "",
            answer_sign(answer),
            title,
        )
        if title
        else "",
        content,
    )


@register.simple_tag
def evening_mist(reach=1.0, seed=1):
    """{% evening_mist 0.8 %}: the night's mist under a bar, ending that far across."""
    return _safe(evenings.evening_mist(float(reach), seed=int(seed)))


@register.simple_tag
def week_key(name):
    """{% week_key "mist" %}: a sample for the legend: picked, other, mist, wait, bare, out."""
    return _safe(week.key(name))


@register.simple_tag
def sample_chain():
    """The invented chain of the pattern page."""
    from bakery.drawing.samples import CHAIN

    return CHAIN
