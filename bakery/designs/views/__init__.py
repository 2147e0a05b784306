from .changing import (
    design_change,
    design_lay_out,
    design_new,
    design_picture,
    design_put_away,
    layer_add,
    layer_change,
    layer_move,
    layer_remove,
    variation_add,
    variation_remove,
)
from .kinds import kind_minutes
from .showing import design, design_list

__all__ = [
    "design",
    "design_change",
    "design_lay_out",
    "design_list",
    "design_new",
    "design_picture",
    "design_put_away",
    "kind_minutes",
    "layer_add",
    "layer_change",
    "layer_move",
    "layer_remove",
    "variation_add",
    "variation_remove",
]
