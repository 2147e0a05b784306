from .hours import DateForm, WeekForm
from .setup import AboutForm, FoodForm, HabitsForm, KitchenForm, MoneyForm, TermsForm
from .start import StartForm
from .tools import OutageForm, ReadingForm, tool_name

__all__ = [
    "AboutForm",
    "DateForm",
    "FoodForm",
    "HabitsForm",
    "KitchenForm",
    "MoneyForm",
    "OutageForm",
    "ReadingForm",
    "StartForm",
    "TermsForm",
    "WeekForm",
    "tool_name",
]
