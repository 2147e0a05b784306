"""Every write of the kitchen: what she says about jobs and evenings, and what is done with plans."""

from .apart import keep_apart, let_share
from .evenings import answer_evening, freeze, mark_printed, undo_evening, unsaid_jobs
from .jobs import finish_job, finish_run, start_job, start_run, undo_run
from .plans import ask_for_plan, leave_proposal, make_plan, save_outcome, sync_jobs, take_proposal, undo_take

__all__ = [
    "answer_evening",
    "ask_for_plan",
    "finish_job",
    "finish_run",
    "freeze",
    "keep_apart",
    "leave_proposal",
    "let_share",
    "make_plan",
    "mark_printed",
    "save_outcome",
    "start_job",
    "start_run",
    "sync_jobs",
    "take_proposal",
    "undo_evening",
    "undo_run",
    "undo_take",
    "unsaid_jobs",
]
