"""The books of the cupboard: every packet, and every move that came to it or went from it.

Each write is one transaction, happens once for its `token`, and never refuses what her hands have done.
"""

from .amounts import on_hand, packets_of, tubs_on_hand, unit_cost, unit_costs
from .count import answer_flag, count, count_item, flagged_moves
from .dates import date_packet, open_packet
from .foot import foot_amount, say_foot
from .offcut import keep_offcut
from .receive import ReceiveLine, receive
from .reserve import Want, firm_up, release, reserve, reserved
from .trace import From, Went, trace_order, trace_packet
from .undo import put_back
from .use import Use, make, use, use_many, waste

__all__ = [
    "From",
    "ReceiveLine",
    "Use",
    "Want",
    "Went",
    "answer_flag",
    "count",
    "count_item",
    "date_packet",
    "firm_up",
    "flagged_moves",
    "foot_amount",
    "keep_offcut",
    "make",
    "on_hand",
    "open_packet",
    "packets_of",
    "put_back",
    "receive",
    "release",
    "reserve",
    "reserved",
    "say_foot",
    "trace_order",
    "trace_packet",
    "tubs_on_hand",
    "unit_cost",
    "unit_costs",
    "use",
    "use_many",
    "waste",
]
