from django.urls import include, path

from .views import morning, proposal, sharing, tonight, troubles

urlpatterns = [
    path("", include("bakery.production.urls_orders")),
    path("", include("bakery.production.urls_weeks")),
    path("tonight/", tonight.tonight, name="tonight"),
    path("tonight/start/", tonight.run_start, name="run_start"),
    path("tonight/done/", tonight.run_done, name="run_done"),
    path("tonight/undo/", tonight.job_undo, name="job_undo"),
    path("tonight/apart/", sharing.share_apart, name="share_apart"),
    path("tonight/share/", sharing.share_again, name="share_again"),
    path("tonight/room/", tonight.room_reading, name="room_reading"),
    path("tonight/off/", troubles.evening_off, name="evening_off"),
    path("tonight/on/", troubles.evening_on, name="evening_on"),
    path("tonight/tool/", troubles.tool_out, name="tool_out"),
    path("tonight/tool/<int:pk>/back/", troubles.tool_back, name="tool_back"),
    path("tonight/said/", morning.morning, name="morning"),
    path("tonight/said/answer/", morning.morning_answer, name="morning_answer"),
    path("tonight/said/undo/", morning.morning_undo, name="morning_undo"),
    path("proposal/", proposal.proposal, name="proposal"),
    path("proposal/<int:pk>/take/", proposal.proposal_take, name="proposal_take"),
    path("proposal/<int:pk>/leave/", proposal.proposal_leave, name="proposal_leave"),
    path("proposal/undo/", proposal.proposal_undo, name="proposal_undo"),
    path("proposal/sort-out/", proposal.sort_out, name="sort_out"),
]
