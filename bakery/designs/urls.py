from django.urls import path

from . import views
from .views import stencils

urlpatterns = [
    path("kinds/", views.kind_minutes, name="kind_minutes"),
    path("stencils/", stencils.stencil_list, name="stencil_list"),
    path("stencils/<int:pk>/", stencils.stencil_set, name="stencil_set"),
    path("stencils/<int:pk>/pieces/", stencils.piece_add, name="piece_add"),
    path("stencils/<int:pk>/pieces/<int:piece>/", stencils.piece_change, name="piece_change"),
    path("stencils/<int:pk>/pieces/<int:piece>/cut-out/", stencils.cut_out, name="cut_out"),
    path("stencils/pictures/<int:pk>.png", stencils.cut_out_picture, name="cut_out_picture"),
    path("designs/", views.design_list, name="design_list"),
    path("designs/new/", views.design_new, name="design_new"),
    path("designs/<slug:slug>/", views.design, name="design"),
    path("designs/<slug:slug>/change/", views.design_change, name="design_change"),
    path("designs/<slug:slug>/lay-out/", views.design_lay_out, name="design_lay_out"),
    path("designs/<slug:slug>/picture/", views.design_picture, name="design_picture"),
    path("designs/<slug:slug>/put-away/", views.design_put_away, name="design_put_away"),
    path("designs/<slug:slug>/layers/add/", views.layer_add, name="layer_add"),
    path("designs/<slug:slug>/layers/<int:pk>/", views.layer_change, name="layer_change"),
    path("designs/<slug:slug>/layers/<int:pk>/move/", views.layer_move, name="layer_move"),
    path("designs/<slug:slug>/layers/<int:pk>/remove/", views.layer_remove, name="layer_remove"),
    path("designs/<slug:slug>/colours/add/", views.variation_add, name="variation_add"),
    path("designs/<slug:slug>/colours/<int:pk>/remove/", views.variation_remove, name="variation_remove"),
]
