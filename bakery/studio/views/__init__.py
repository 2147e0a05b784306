from .example import again, enter, leave
from .first import first
from .phone import on_a_phone
from .pictures import picture
from .setup import copy_download, date_forget, setup, setup_group, tool_back
from .sorry import broken, form_out_of_date, not_found, shut_out, unreadable
from .start import start, start_result

__all__ = [
    "again",
    "broken",
    "copy_download",
    "date_forget",
    "enter",
    "first",
    "form_out_of_date",
    "leave",
    "not_found",
    "on_a_phone",
    "picture",
    "setup",
    "setup_group",
    "shut_out",
    "start",
    "start_result",
    "tool_back",
    "unreadable",
]
