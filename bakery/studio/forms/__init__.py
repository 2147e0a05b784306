from .hours import DateForm, WeekForm
from .prices import PricesForm
from .setup import AboutForm, FoodForm, HabitsForm, KitchenForm, TermsForm
from .start import StartForm
from .tools import OutageForm, ReadingForm, tool_name

__all__ = [
    "AboutForm",
    "DateForm",
    "FoodForm",
    "HabitsForm",
    "KitchenForm",
    "OutageForm",
    "PricesForm",
    "ReadingForm",
    "StartForm",
    "TermsForm",
    "WeekForm",
    "tool_name",
]
