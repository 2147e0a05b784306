"""The pictures of Money for templates; the drawings themselves live in bakery.drawing."""

from django import template
from django.utils.safestring import mark_safe

from bakery.drawing import earnings

register = template.Library()


@register.simple_tag
def hour_bar(value, wage, most, low=0, dark=False, title=""):
    """{% hour_bar row.value wage most low row.dark row.title %}"""
    return mark_safe(
        earnings.hour_bar(
            float(value), wage=float(wage), most=float(most), low=float(low), dark=dark, title=title
        )
    )


@register.simple_tag
def pace_bar(factor, most, title=""):
    return mark_safe(earnings.pace_bar(float(factor), most=float(most), title=title))


@register.simple_tag
def month_columns(cols, sign="", title="", width=720, cls=""):
    """{% month_columns columns sign title width=350 cls="columns--narrow" %}"""
    return mark_safe(earnings.columns(tuple(cols), width=float(width), sign=sign, title=title, cls=cls))
