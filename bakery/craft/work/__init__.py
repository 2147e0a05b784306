"""From an order to jobs with minutes, waits and places; from many orders to a planning problem."""

from .ahead import Ahead, Use
from .allotting import allot
from .calendar import Calendar, Fact, Outage, Session
from .choosing import choose
from .counting import cut_of, mean_area, names_of, spares_of
from .facts import too_old
from .jobs import work_of
from .kinds import KIND_TITLES, MINUTES, Setting, colour_names, default_layers, grams_per_cookie, layers_of
from .pieces import JOB_KINDS, Job, Past, Place, Wait, Work
from .problem import build_problem, job_of_task, resources_of
from .sharing import Share, propose, share
from .spec import KINDS, LAYER_KINDS, STAGES, WAYS, DryingTimes, Layer, LineSpec, OrderSpec, Pack, Shop
from .stretching import past_the_known, stretched

__all__ = [
    "JOB_KINDS",
    "KINDS",
    "KIND_TITLES",
    "LAYER_KINDS",
    "MINUTES",
    "STAGES",
    "WAYS",
    "Ahead",
    "Calendar",
    "DryingTimes",
    "Fact",
    "Job",
    "Layer",
    "LineSpec",
    "OrderSpec",
    "Outage",
    "Pack",
    "Past",
    "Place",
    "Session",
    "Setting",
    "Share",
    "Shop",
    "Use",
    "Wait",
    "Work",
    "allot",
    "build_problem",
    "choose",
    "colour_names",
    "cut_of",
    "default_layers",
    "grams_per_cookie",
    "job_of_task",
    "layers_of",
    "mean_area",
    "names_of",
    "past_the_known",
    "propose",
    "resources_of",
    "share",
    "spares_of",
    "stretched",
    "too_old",
    "work_of",
]
