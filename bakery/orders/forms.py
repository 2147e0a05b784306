"""The form of an order: everything may stay empty but how many and when."""

from __future__ import annotations

import uuid
from datetime import datetime, time

from django import forms
from django.utils import timezone

from bakery.craft.costing import simpler_titles
from bakery.designs.kinds import USUAL_COLOURS
from bakery.designs.models import Design
from bakery.designs.queries import with_layers

from .adapters import letters, line_spec
from .data import LineData, OrderData
from .fields import Choice, Count, Distance, Line, Moment, Money, Names, PickedRow, Words
from .kinds import kind_rows
from .models import MOST_COOKIES, Order, OrderLine
from .moments import in_words, is_on_the_clock, no_such_hour, short
from .text import clean, doubled, plural
from .ways import read_tag, tag_of

MOST_LINES = 20
TOO_MANY = f"One line holds up to {MOST_COOKIES:,} cookies. Is that figure right?"
NO_ADDRESS = "An address looks like name@place.example."
NO_DAY = {"invalid": "That day is not in the calendar."}
NO_TIME = {"invalid": "A time looks like 12:00."}
GUESSED_KIND = "stencil_detail"  # the usual middle of the six, until she says which


class Choices:
    """What lines can be picked from, read once a page."""

    def __init__(self):
        self.kinds = kind_rows()
        self.designs = {design.pk: design for design in with_layers(Design.objects.filter(put_away=False))}
        self.variations = {v.pk: v for design in self.designs.values() for v in design.variations.all()}

    @property
    def kind_options(self):
        return [("", "not said yet"), *((key, kind.name) for key, kind in self.kinds.items())]

    @property
    def design_options(self):
        return [("", "none yet"), *((pk, design.name) for pk, design in self.designs.items())]

    @property
    def variation_options(self):
        groups = [
            (design.name, [(v.pk, v.base.name) for v in design.variations.all()])
            for design in self.designs.values()
            if design.variations.all()
        ]
        return [("", "as designed"), *groups]

    def add(self, design: Design):
        """A design that is put away but still on this order."""
        self.designs[design.pk] = design
        self.variations |= {v.pk: v for v in design.variations.all()}


class LineForm(forms.Form):
    line = Count(least=1, most=2**40, what="The line", label="")
    quantity = Count(least=1, most=MOST_COOKIES, what="How many cookies", label="How many",
                     too_many=TOO_MANY)  # fmt: skip
    kind = Choice(label="Kind", choices=())
    designs = Count(least=1, most=200, blank=1, what="Designs", label="Designs")
    colours = Count(least=1, most=30, blank=None, what="Colours", label="Colours")
    design = PickedRow(label="Design")
    variation = PickedRow(label="Base colour")
    spares = Count(least=0, most=MOST_COOKIES, what="Spares", label="Spares")
    packaging = Choice(label="Packed how", choices=OrderLine.Packaging.choices, usual="bag")
    stage = Choice(label="Where is it now?", choices=OrderLine.Stage.choices, usual="nothing")
    ways = forms.CharField(required=False, strip=False, widget=forms.HiddenInput)

    def __init__(self, *args, choices: Choices, **more):
        super().__init__(*args, **more)
        self.picks = choices
        self.fields["line"].widget = forms.HiddenInput()
        self.fields["kind"].choices = choices.kind_options
        for name, known, options in (
            ("design", choices.designs, choices.design_options),
            ("variation", choices.variations, choices.variation_options),
        ):
            self.fields[name].known = known
            self.fields[name].widget.choices = options

    def clean(self):
        design = self.picks.designs.get(self.cleaned_data.get("design"))
        variation = self.picks.variations.get(self.cleaned_data.get("variation"))
        if variation and (design is None or variation.design_id != design.pk):
            self.cleaned_data["variation"] = None
        if not self.is_blank and "quantity" not in self.errors and self.cleaned_data.get("quantity") is None:
            self.add_error("quantity", "How many cookies?")
        return self.cleaned_data

    @property
    def number(self) -> str:
        return self.prefix.rpartition("-")[2]

    @property
    def is_blank(self) -> bool:
        """Nothing typed that would make a line of it."""
        return not any((self[name].value() or "") for name in ("quantity", "kind", "design"))

    @property
    def kind_key(self) -> str:
        """The kind said, that of the design, or the guess."""
        return self.said_kind or GUESSED_KIND

    @property
    def said_kind(self) -> str:
        value = self["kind"].value() or ""
        if design := self.design_row:
            return design.kind.key
        return value if value in self.picks.kinds else ""

    @property
    def design_row(self) -> Design | None:
        value = str(self["design"].value() or "")
        known = value.isascii() and value.isdigit() and len(value) < 12
        return self.picks.designs.get(int(value)) if known else None

    @property
    def made_simpler(self) -> str:
        """`Half the dots; No shading`: how the line was made simpler, as it stands in the form."""
        design = self.design_row
        pk = design.pk if design else None
        codes = read_tag(clean(self["ways"].value() or ""), kind=self.kind_key, design=pk)
        if not codes:
            return ""
        count, designs, colours = (self._count(name) for name in ("quantity", "designs", "colours"))
        colours = colours or colours_of(design) or USUAL_COLOURS.get(self.kind_key, 1)
        line = LineData(self.kind_key, count or 1, designs or 1, colours, pk)
        return "; ".join(simpler_titles(line_spec(line, "l1", design), codes))

    def _count(self, name: str) -> int:
        try:
            return self.fields[name].clean(str(self[name].value() or "")) or 0
        except forms.ValidationError:
            return 0

    @property
    def words(self) -> str:
        """`24 Lettered`: the line in short, as the label of what belongs to it."""
        name = self.design_row.name if self.design_row else self.picks.kinds[self.kind_key].name
        return f"{clean(self['quantity'].value() or '')[:8]} {name}".strip()

    def line_data(self) -> LineData | None:
        """The line as data, None without a believable quantity."""
        found = getattr(self, "cleaned_data", {})
        if not found.get("quantity"):
            return None
        design = self.picks.designs.get(found.get("design"))
        return LineData(
            line=found.get("line"),
            kind=self.kind_key,
            quantity=found["quantity"],
            designs=found.get("designs") or 1,
            colours=found.get("colours") or colours_of(design) or USUAL_COLOURS.get(self.kind_key, 1),
            design=found.get("design"),
            variation=found.get("variation"),
            spares=found.get("spares"),
            packaging=found.get("packaging") or "bag",
            stage=found.get("stage") or "nothing",
            ways=read_tag(found.get("ways") or "", kind=self.kind_key, design=found.get("design")),
        )


def colours_of(design: Design | None) -> int:
    """How many different colours a design's layers have."""
    if design is None:
        return 0
    return len({row.colour_id for layer in design.layers.all() for row in layer.layer_colours.all()})


class OrderForm(forms.Form):
    token = forms.UUIDField(required=False, widget=forms.HiddenInput)
    again = forms.CharField(required=False, max_length=9, widget=forms.HiddenInput)
    revision = Count(least=0, most=2**31, what="The version", label="")
    their_words = Words(longest=8000, rows=2, label="What did they write?")
    words_read = forms.CharField(required=False, strip=False, widget=forms.HiddenInput)
    who = Line(longest=120, label="Who")
    phone = Line(longest=40, label="Phone")
    email = forms.EmailField(required=False, max_length=254, label="E-mail",
                             error_messages={"invalid": NO_ADDRESS})  # fmt: skip
    title = Line(longest=120, label="Event")
    event_at = Moment(default=time(18), label="Event starts")
    hand_over = Moment(default=time(12), label="Hand-over")
    hand_over_shown = forms.CharField(required=False, strip=False, widget=forms.HiddenInput)
    also = forms.CharField(required=False, strip=False, widget=forms.HiddenInput)
    hand_over_day = forms.DateField(
        required=False, label="Day", widget=forms.DateInput(attrs={"type": "date"}), error_messages=NO_DAY
    )
    hand_over_time = forms.TimeField(
        required=False, label="Time", widget=forms.TimeInput(attrs={"type": "time"}), error_messages=NO_TIME
    )
    way = Choice(label="How", choices=Order.Way.choices, usual="collected")
    place = Line(longest=120, label="Where to")
    travel_minutes = Count(least=0, most=600, blank=0, what="Minutes there", label="Minutes there")
    distance_km = Distance(label="Kilometres there")
    transit_days = Count(least=0, most=14, blank=0, what="Days in the post", label="Days in the post")
    bake_ahead = Choice(label="Bake ahead and freeze", choices=(("", "No"), ("yes", "Yes")))
    platter_holds = Count(least=1, most=5000, what="Cookies on one platter", label="Cookies on one platter")
    names = Names(longest=0, rows=2, label="Names to letter")
    allergy_state = Choice(label="Allergies", choices=Order.Allergy.choices, usual="not_asked")
    allergies = Line(longest=200, label="What they told us")
    deposit_paid = Choice(label="Deposit paid", choices=(("", "No"), ("yes", "Yes")))
    budget = Money(label="Their budget")
    own_price = Money(label="Your own price")
    note = Words(longest=8000, label="Wishes, and where pictures come from")
    anyway = Choice(label="Keep it like this all the same", choices=(("", ""), ("yes", "")))

    def __init__(self, data=None, *, initial=None, order: Order | None = None, **more):
        super().__init__(data, initial=initial, **more)
        self.fields["revision"].widget = forms.HiddenInput()
        self.order = order
        for name in ("hand_over", "event_at"):
            self.fields[name].past = order is not None  # an old order may keep its days
        self.picks = Choices()
        for line in order.lines.all() if order else ():
            if line.design_id and line.design_id not in self.picks.designs:
                self.picks.add(line.design)
        self.lines = self._line_forms()
        self.asks: dict[str, str] = {}

    def _line_forms(self) -> list[LineForm]:
        if self.is_bound:
            found = sorted({int(n) for n in map(_index_of, self.data) if n is not None})[:MOST_LINES]
            return [LineForm(self.data, prefix=f"line-{n}", choices=self.picks) for n in found or [0]]
        rows = self.initial.get("lines") or [{}]
        return [LineForm(prefix=f"line-{n}", initial=row, choices=self.picks) for n, row in enumerate(rows)]

    def is_valid(self) -> bool:
        return super().is_valid() and not self.line_errors

    @property
    def line_errors(self) -> bool:
        return any(form.errors for form in self.filled_lines)

    @property
    def filled_lines(self) -> list[LineForm]:
        """The lines that say something; a lone empty one is asked about."""
        return [form for form in self.lines if not form.is_blank] or self.lines[:1]

    @property
    def guessed(self) -> str:
        """The kind that is reckoned with where a line with a quantity names none; "" when all are named."""
        unsaid = any(form.line_data() and not form.said_kind for form in self.filled_lines)
        return self.picks.kinds[GUESSED_KIND].name if unsaid else ""

    def clean(self):
        found = self.cleaned_data
        for form in self.lines:
            form.full_clean()
        self._settle_hand_over(found)
        self._refuse_a_move_into_the_past(found)
        if "hand_over" not in self.errors and not found.get("hand_over"):
            self.add_error("hand_over", "When do they get it? For example Sat 12:00.")
        if not any(form.errors or form.line_data() for form in self.filled_lines):
            self.filled_lines[0].add_error("quantity", "How many cookies?")
        if found.get("allergies") and found.get("allergy_state") == "not_asked":
            found["allergy_state"] = "told"
        if (
            found.get("allergy_state") == "told"
            and not found.get("allergies")
            and "allergies" not in self.errors
        ):
            self.add_error("allergies", "What did they tell you? For example: no nuts, one guest.")
        if found.get("allergy_state") != "told":
            found["allergies"] = ""
        self._ask()
        return found

    def _settle_hand_over(self, found):
        """The typed text counts when she changed it; else the day picked from the calendar."""
        typed = clean(self.data.get("hand_over", "")).strip()
        if not found.get("hand_over_day") or (
            typed and typed != clean(found.get("hand_over_shown", "")).strip()
        ):
            return
        before = found.get("hand_over")
        at = found.get("hand_over_time") or (timezone.localtime(before).time() if before else time(12))
        moment = timezone.make_aware(datetime.combine(found["hand_over_day"], at))
        self.errors.pop("hand_over", None)
        found["hand_over"] = moment
        if moment < timezone.localtime() and not self.fields["hand_over"].past:
            self.add_error("hand_over_day", f"{short(moment)} has passed. Which day do you mean?")
        if not is_on_the_clock(moment):
            self.add_error("hand_over_time", no_such_hour(moment))

    def _refuse_a_move_into_the_past(self, found):
        """An old order keeps its day; none is moved to a day gone by."""
        moment = found.get("hand_over")
        if self.order is None or moment is None or moment == self.order.hand_over_at:
            return
        if moment < timezone.localtime():
            words = in_words(timezone.localtime(moment), now=timezone.localtime())
            self.add_error("hand_over", f"{words} has passed. Which day do you mean?")

    def _ask(self):
        """What looks odd but may be meant: asked once, never refused."""
        found = self.cleaned_data
        data = self.order_data()
        event, hand_over = found.get("event_at"), found.get("hand_over")
        if event and hand_over and event < hand_over:
            self.asks["event_at"] = "The event is before the hand-over. Is that meant?"
        if data and len(data.names) > self.places_for_names():
            over = len(data.names) - self.places_for_names()
            self.asks["names"] = (
                f"{plural(len(data.names), 'name')} for {plural(self.places_for_names(), 'cookie')}: "
                f"{plural(over, 'name')} too many."
            )

    @property
    def needs_a_nod(self) -> bool:
        """Something odd that she has not waved through yet."""
        return bool(self.asks) and self.cleaned_data.get("anyway") != "yes"

    def places_for_names(self) -> int:
        """Cookies that names go on: the lettered ones, or all when none are."""
        lines = [line for form in self.filled_lines if (line := form.line_data())]
        lettered = [line for line in lines if letters(line, self.picks.designs.get(line.design))]
        return sum(line.quantity for line in lettered or lines)

    def order_data(self, *, hand_over: datetime | None = None) -> OrderData | None:
        """What can be read so far; None without a quantity, or without a hand-over (or the one given)."""
        found = self.cleaned_data
        when = found.get("hand_over") or hand_over
        lines = tuple(line for form in self.filled_lines if (line := form.line_data()))
        if not lines or when is None:
            return None
        texts = {name: found.get(name) or "" for name in (
            "who", "title", "phone", "email", "place", "allergies", "their_words", "note")}  # fmt: skip
        way = found.get("way") or "collected"
        return OrderData(
            **texts,
            lines=lines,
            hand_over_at=when,
            event_at=found.get("event_at"),
            way=way,
            for_stock=way == Order.Way.STALL,
            bake_ahead=found.get("bake_ahead") == "yes",
            travel_minutes=found.get("travel_minutes") or 0,
            distance_km=found.get("distance_km"),
            platter_holds=found.get("platter_holds"),
            transit_days=found.get("transit_days") or 0,
            names=tuple(found.get("names") or ()),
            allergy_state=found.get("allergy_state") or "not_asked",
            deposit_paid=found.get("deposit_paid") == "yes",
            budget=found.get("budget"),
            own_price=found.get("own_price"),
        )

    # What the page says beside the fields.

    def marked(self) -> list[tuple[str, str]]:
        """(label, id) of every field that has a sentence, so that the page can lead to it."""
        found = [self[name] for name in self.errors if name in self.fields]
        found += [line[name] for line in self.lines for name in line.errors if name in line.fields]
        found += [self[name] for name in self.asks if name not in self.errors]
        return [(field.label, field.id_for_label) for field in found]

    def names_say(self) -> tuple[str, str]:
        """A good word about the names, or a doubt: their count against the cookies, and doubled ones."""
        names = self.cleaned_data.get("names") or () if hasattr(self, "cleaned_data") else ()
        if not names:
            return "", ""
        places = self.places_for_names()
        count = f"{plural(len(names), 'name')} for {plural(places, 'cookie')}"
        good = f"{count}." if places == len(names) else ""
        doubts = []
        if places > len(names):
            doubts.append(f"{count}: {plural(places - len(names), 'name')} to come.")
        if places < len(names):
            doubts.append(f"{count}: {plural(len(names) - places, 'name')} too many.")
        twice = doubled(names)
        if twice:
            more = f" and {len(twice) - 1} more" if len(twice) > 1 else ""
            doubts.append(f"“{twice[0]}” is there twice{more}. Two people?")
        return good, " ".join(doubts)


def _index_of(key: str) -> str | None:
    parts = key.split("-")
    right = len(parts) == 3 and parts[0] == "line" and parts[1].isascii() and parts[1].isdigit()
    return parts[1] if right and len(parts[1]) <= 3 else None


def initial_of(data: OrderData, *, revision: int | None = None, token=None) -> dict:
    """A form's first values from data."""
    lines = [
        {name: getattr(line, name) for name in LineForm.base_fields if hasattr(line, name)}
        | {"ways": tag_of(kind=line.kind, design=line.design, ways=line.ways)}
        for line in data.lines
    ]
    names = ("their_words", "who", "phone", "email", "title", "event_at", "way", "place", "travel_minutes",
             "distance_km", "transit_days", "platter_holds", "names", "allergy_state", "allergies", "budget",
             "own_price", "note")  # fmt: skip
    first = {name: getattr(data, name) for name in names}
    when = short(timezone.localtime(data.hand_over_at), now=timezone.localtime())
    return first | {
        "hand_over": data.hand_over_at,
        "hand_over_shown": when,
        "deposit_paid": "yes" if data.deposit_paid else "",
        "bake_ahead": "yes" if data.bake_ahead else "",
        "travel_minutes": data.travel_minutes or "",
        "transit_days": data.transit_days or "",
        "lines": lines,
        "revision": revision,
        "token": token or uuid.uuid4(),
    }
