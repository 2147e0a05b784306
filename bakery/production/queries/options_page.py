"""Versions of one order side by side: what each looks like, costs, saves and pays."""

from __future__ import annotations

from dataclasses import dataclass

from bakery.craft.costing import floor_price, wage_of
from bakery.craft.costing.parts import pence
from bakery.orders.adapters import drawing_of_line
from bakery.orders.models import Option, Order
from bakery.orders.option_forms import VersionForm
from bakery.orders.pricing import Saving, deposit_of, money, savings_of, tax_words
from bakery.orders.quote_words import rows_of, title_of
from bakery.orders.versions import MOST_OPTIONS, Version, says_of, versions_of
from bakery.studio.queries import the_studio

MOST_PICTURES = 3
MOST_WAYS = 4


@dataclass(frozen=True)
class Column:
    """One version. `pays` and `floor` are for her eyes only."""

    letter: str
    title: str
    what: str
    says: list[str]
    drawings: list[dict]
    total: str
    each: str
    deposit: str
    tax: str
    saves: str
    pays: str
    floor: str
    key: str
    form: VersionForm
    cheaper: tuple[Saving, ...]
    option: Option | None
    promised: object = None


@dataclass(frozen=True)
class OptionsPage:
    columns: list[Column]
    away: list[Option]
    room: bool
    own: VersionForm
    cheaper: tuple[Saving, ...]


def options_page(order: Order, *, forms: dict | None = None) -> OptionsPage:
    """All that the page shows, without the promises: each of those is asked for alone. `forms` came back with
    a sentence. `order` comes from orders.queries.order_by_number.
    """
    forms, studio = forms or {}, the_studio()
    versions = versions_of(order, studio)
    columns = [_column(order, version, versions[0], studio, forms) for version in versions]
    offered = {column.option.pk for column in columns if column.option}
    return OptionsPage(
        columns=columns,
        away=[option for option in order.options.all() if option.pk not in offered],
        room=len(columns) <= MOST_OPTIONS,
        own=forms.get("new") or VersionForm.of(order, versions[0].data, prefix="new"),
        cheaper=columns[0].cheaper,
    )


def _says(order: Order, version: Version, first: Version) -> list[str]:
    """What is other than asked, and not said by its title already."""
    said = says_of(order, version, first) if version.option else []
    return [one for one in said if one != version.title]


def _column(order: Order, version: Version, first: Version, studio, forms: dict) -> Column:
    sign, prices = studio.currency_sign, version.price.prices
    rows = rows_of(order, version.data.lines)
    key = str(version.option.pk) if version.option else "asked"
    form = forms.get(key) or VersionForm.of(order, version.data, title=version.title, prefix=f"v{key}")
    quantity = version.data.quantity
    saves = ""
    if version.option:
        gap = money(abs(version.saves), sign)
        saves = (
            f"{gap} {'less' if version.saves > 0 else 'more'} than asked"
            if version.saves
            else "costs the same"
        )
    return Column(
        letter=version.letter,
        title=version.title,
        what=title_of(rows),
        says=_says(order, version, first),
        drawings=[drawing_of_line(line, row.design, row.variation) for row, line in rows[:MOST_PICTURES]],
        total=money(version.asked, sign),
        each=money(pence(version.asked / quantity), sign),
        deposit=money(deposit_of(version.asked, studio), sign),
        tax=tax_words(version.asked, prices, sign),
        saves=saves,
        pays=f"{money(wage_of(version.price, version.asked), sign)} an hour",
        floor=money(floor_price(version.price).wage, sign),
        key=key,
        form=form,
        cheaper=savings_of(version.spec, version.shop, prices, sign, most=MOST_WAYS),
        option=version.option,
    )
