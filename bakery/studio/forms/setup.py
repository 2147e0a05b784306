"""The settings in plain groups: each a form over some fields of the studio."""

from django import forms

from bakery.studio.models import Studio

from .plain import PlainModelForm


class GroupForm(PlainModelForm):
    """Some settings of the studio; `rows` puts fields side by side where they belong together."""

    note = ""

    class Meta:
        model = Studio
        fields: tuple = ()

    def changed_values(self) -> dict:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class AboutForm(GroupForm):
    note = "This stands on quotes and labels."

    class Meta:
        model = Studio
        fields = ("name", "strapline", "address", "phone", "email")


class KitchenForm(GroupForm):
    class Meta:
        model = Studio
        fields = (
            "cookies_per_sheet", "sheets_in_oven", "rack_places", "cookies_per_tray", "cookies_per_batch",
            "airbrushes", "dryer_trays",
        )  # fmt: skip
        labels = {
            "cookies_per_sheet": "Cookies on a baking sheet",
            "sheets_in_oven": "Sheets in the oven at once",
            "rack_places": "Places for trays to dry",
            "cookies_per_tray": "Cookies on a drying tray",
            "cookies_per_batch": "Cookies from one batch of dough",
            "airbrushes": "Airbrushes",
            "dryer_trays": "Trays in the dryer",
        }
        help_texts = {"rack_places": "Count the dining table too.", "dryer_trays": "0 if you have none."}


class HabitsForm(GroupForm):
    class Meta:
        model = Studio
        fields = (
            "keeps_days", "wash_up_minutes", "door_minutes", "padding", "waking_from", "waking_until",
        )  # fmt: skip
        labels = {
            "keeps_days": "From oven to hand-over at most, days",
            "wash_up_minutes": "Washing up at the end, minutes",
            "door_minutes": "A hand-over at the door, minutes",
            "padding": "Plan work to take longer than thought by",
            "waking_from": "Awake from",
            "waking_until": "Awake until",
        }
        help_texts = {
            "padding": "1.15 is 15 % longer: a plan without it fails every other evening.",
            "waking_until": "Ten-minute jobs, like taking trays off the rack, may fall into these hours.",
        }
        widgets = {
            "waking_from": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "waking_until": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        }

    def clean(self):
        data = super().clean()
        if data.get("waking_from") and data.get("waking_from") == data.get("waking_until"):
            self.add_error("waking_until", "A day without waking hours? Give another time.")
        return data


class TermsForm(GroupForm):
    class Meta:
        model = Studio
        fields = ("deposit_percent", "quote_hours", "balance_days", "change_days", "terms")
        labels = {
            "deposit_percent": "Deposit, percent",
            "quote_hours": "A quote stays open, hours",
            "balance_days": "Balance due, days before",
            "change_days": "Changes until, days before",
            "terms": "Terms, as printed on a quote",
        }


class FoodForm(GroupForm):
    note = (
        "Printed on quotes and papers. What a label must say is set by your local food law: ask your "
        "authority. Dryby only prints what you tell it."
    )

    class Meta:
        model = Studio
        fields = ("contains", "handles")
        labels = {"contains": "Every cookie contains", "handles": "The kitchen also handles"}
