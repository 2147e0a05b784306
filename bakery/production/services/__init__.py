"""Every write of the kitchen: what she says about jobs and evenings, and what is done with plans."""

from .answers import answer_now
from .apart import keep_apart, let_share
from .evenings import answer_evening, freeze, mark_printed, undo_evening, unsaid_jobs
from .jobs import finish_job, finish_run, said_so_many, start_job, start_run, undo_run
from .plans import (
    ask_for_plan,
    latest_reason,
    leave_proposal,
    make_plan,
    save_outcome,
    sync_jobs,
    take_proposal,
    undo_take,
)
from .setbacks import (
    another_way,
    broken,
    change_until,
    day_off,
    half_day,
    ran_out,
    still_wet,
    tool_is_out,
    undo_setback,
)

__all__ = [
    "another_way",
    "answer_evening",
    "answer_now",
    "ask_for_plan",
    "broken",
    "change_until",
    "day_off",
    "finish_job",
    "finish_run",
    "freeze",
    "half_day",
    "keep_apart",
    "latest_reason",
    "leave_proposal",
    "let_share",
    "make_plan",
    "mark_printed",
    "ran_out",
    "said_so_many",
    "save_outcome",
    "start_job",
    "start_run",
    "still_wet",
    "sync_jobs",
    "take_proposal",
    "tool_is_out",
    "undo_evening",
    "undo_run",
    "undo_setback",
    "undo_take",
    "unsaid_jobs",
]
