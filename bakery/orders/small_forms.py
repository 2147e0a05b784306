"""The small forms on the page of one order: another day, what they said of allergies, money that came in."""

from __future__ import annotations

from datetime import time

from django import forms
from django.utils import timezone

from .fields import Choice, Count, Line, Moment, Money
from .models import Order, Payment
from .moments import short


class MoveForm(forms.Form):
    """Another hand-over for the same order."""

    revision = Count(least=0, most=2**31, what="The version", label="")
    hand_over = Moment(default=time(12), label="New hand-over")

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        self.fields["revision"].widget = forms.HiddenInput()

    @classmethod
    def of(cls, order: Order):
        when = short(timezone.localtime(order.hand_over_at), now=timezone.localtime())
        return cls(initial={"revision": order.revision, "hand_over": when}, prefix="move")

    def clean(self):
        if "hand_over" not in self.errors and not self.cleaned_data.get("hand_over"):
            self.add_error("hand_over", "When do they get it? For example Sat 12:00.")
        return self.cleaned_data


class AllergyForm(forms.Form):
    """What the customer said when asked."""

    allergy_state = Choice(label="Allergies", choices=Order.Allergy.choices, usual="not_asked")
    allergies = Line(longest=200, label="What they told you")

    @classmethod
    def of(cls, order: Order):
        return cls(initial={"allergy_state": order.allergy_state, "allergies": order.allergies}, prefix="ask")

    def clean(self):
        found = self.cleaned_data
        if found.get("allergies") and found["allergy_state"] == "not_asked":
            found["allergy_state"] = "told"
        if found["allergy_state"] == "told" and not found.get("allergies") and "allergies" not in self.errors:
            self.add_error("allergies", "What did they tell you? For example: no nuts, one guest.")
        if found["allergy_state"] != "told":
            found["allergies"] = ""
        return found


class PaymentForm(forms.Form):
    """Money that came in, or was given back."""

    what = Choice(label="What", choices=Payment.What.choices, usual="balance")
    amount = Money(label="How much")
    on = Moment(past=True, default=time(12), label="When")
    note = Line(longest=120, label="Note")

    def __init__(self, *args, **more):
        super().__init__(*args, prefix="pay", **more)

    def clean(self):
        found = self.cleaned_data
        if "amount" not in self.errors and not found.get("amount"):
            self.add_error("amount", "How much came in? For example 107.00.")
        when = found.get("on")
        if when and timezone.localdate(when) > timezone.localdate():
            self.add_error("on", "That day has not come yet.")
        return found
