from .example import enter, leave
from .first import first
from .sorry import broken, form_out_of_date, not_found, shut_out
from .start import start, start_result

__all__ = [
    "broken",
    "enter",
    "first",
    "form_out_of_date",
    "leave",
    "not_found",
    "shut_out",
    "start",
    "start_result",
]
