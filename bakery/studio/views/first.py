"""The first page: two doors, until one of them is taken."""

from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from bakery.studio import queries

FERN = {"shape": "plaque", "motif": "fern"}
CARD = {"shape": "card", "base": "#f3ead6", "frame": "#b98f45"}
IN_THE_TRAY = (
    FERN | {"base": "#f3ead6", "motif_colour": "#4f6b35", "dots": "#c99a45"},
    CARD | {"text": "Jory"},
    {"shape": "round", "base": "#bcd5d3", "dots": "#fdfcf6", "text": "Fair winds", "text_colour": "#1d4250"},
    {"shape": "burgee", "base": "#223660", "motif": "star", "motif_colour": "#fdfcf6", "frame": "#fdfcf6",
     "stitch": True},
    FERN | {"base": "#5d708a", "motif_colour": "#efe5cf", "dots": "#fdfcf6"},
    {"shape": "square", "base": "#f1e6c9", "motif": "rook", "motif_colour": "#5b341c"},
    {"shape": "oval", "base": "#f8f2e6", "motif": "monogram", "text": "ET", "motif_colour": "#8a6a22",
     "text_colour": "#8a6a22", "dots": "#b08a3a"},
    {"shape": "round", "base": "#e6d1a2", "motif": "ammonite", "motif_colour": "#5b341c",
     "motif_2": "#b07a3a", "dots": "#fdfcf6"},
    FERN | {"base": "#adbb9d", "motif_colour": "#2c4a2a", "dots": "#fdfcf6"},
    {"shape": "round", "base": "#bcd5d3", "motif": "boat"},
    {"shape": "round", "base": "#5d708a", "motif": "star", "motif_colour": "#f8f2e6"},
    CARD | {"text": "Una"},
)  # fmt: skip


@require_safe
def first(request):
    """Two doors for an empty studio; Tonight for a started one."""
    if queries.the_studio().started:
        return redirect("tonight")
    return render(request, "studio/first.html", {"cookies": IN_THE_TRAY})
