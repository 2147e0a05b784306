"""What a price is made of, on one screen in plain words."""

from decimal import Decimal

from django import forms

from bakery.studio.models import Studio

from .setup import GroupForm

YES_NO = ((True, "The tax is in my prices"), (False, "The tax comes on top"))
EXAMPLE = "An example: put in yours."


def _tax_answer(value):
    return value in (True, "True", "on", "1")


class PricesForm(GroupForm):
    note = "Every figure starts as an example: put in yours where it matters."
    GROUPS = (
        ("Your hour", ("hourly_wage", "price_rule", "margin_percent", "target_wage", "overhead_per_hour")),
        ("Oven and dryer", ("energy_per_kwh", "oven_kw", "dryer_kw")),
        ("Delivery", ("delivery_base", "delivery_per_km")),
        ("Fees and tax", ("fee_percent", "fee_fixed", "tax_percent", "tax_included")),
        ("In a hurry", ("rush_days", "rush_percent")),
        ("The figure itself", ("round_to", "currency_sign", "currency")),
    )
    EXAMPLES = (
        "hourly_wage", "margin_percent", "target_wage", "overhead_per_hour", "energy_per_kwh", "oven_kw",
        "dryer_kw", "delivery_per_km", "rush_percent",
    )  # fmt: skip
    tax_included = forms.TypedChoiceField(
        label="How the tax is asked", choices=YES_NO, coerce=_tax_answer, initial=True
    )

    class Meta:
        model = Studio
        fields = (
            "hourly_wage", "price_rule", "margin_percent", "target_wage", "overhead_per_hour",
            "energy_per_kwh", "oven_kw", "dryer_kw", "delivery_base", "delivery_per_km", "fee_percent",
            "fee_fixed", "tax_percent", "tax_included", "rush_days", "rush_percent", "round_to",
            "currency_sign", "currency",
        )  # fmt: skip
        labels = {
            "hourly_wage": "Your hour should earn",
            "price_rule": "A price is",
            "margin_percent": "On top, percent",
            "target_wage": "What an hour should reach",
            "overhead_per_hour": "Rent, wear and the rest, an hour",
            "energy_per_kwh": "Electricity, a kWh",
            "oven_kw": "The oven draws, kW",
            "dryer_kw": "The dryer draws, kW",
            "delivery_base": "For going at all",
            "delivery_per_km": "A kilometre, there and back counted",
            "fee_percent": "Card or market fee, percent",
            "fee_fixed": "Fee for each payment",
            "tax_percent": "Tax, percent",
            "rush_days": "A rush: asked this many days ahead, or fewer",
            "rush_percent": "A rush costs, percent on top",
            "round_to": "Round prices to",
            "currency_sign": "Sign of the money",
            "currency": "Its three letters",
        }
        help_texts = {
            "price_rule": "Your hour and something on top, or whatever lets an hour reach the figure below.",
            "target_wage": "Only used where a price is made to reach it.",
            "oven_kw": "On average while it is on, not the figure on the plate.",
            "tax_percent": "0 if you charge none. What you owe is set by your tax law: ask there.",
            "rush_days": "0: no order is a rush.",
            "round_to": "1 for whole pounds, 0.50 for halves, 0.01 for not at all.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["price_rule"].choices = (("margin", "my hour, and something on top"),
                                             ("wage", "what an hour should reach"))  # fmt: skip
        for name in self.EXAMPLES:
            usual = Studio._meta.get_field(name).default
            if getattr(self.instance, name) == Decimal(usual):
                said = self.fields[name].help_text
                self.fields[name].help_text = f"{EXAMPLE} {said}".strip()

    def sections(self):
        """(heading, its fields) in the order of the screen."""
        return [(title, [self[name] for name in names]) for title, names in self.GROUPS]
