"""What stencil workers do, as advice beside a design's layers (common practice, no source). Never a rule."""

from .models import Layer, StencilPiece

STENCILLED = (Layer.Kind.SPRAY, Layer.Kind.ICING_PASS)
RAISED = (Layer.Kind.PIPED, Layer.Kind.TRANSFER, Layer.Kind.WAFER, Layer.Kind.LETTERING)
Role = StencilPiece.Role


def advice_for(layers) -> list[str]:
    """Sentences for layers in the order they go on, bottom first; empty when nothing is unusual."""
    rows = [(layer, {piece.role for piece in layer.stencils.all()}) for layer in layers]
    checks = (_mask_without_background, _frame_before_shading, _icing_before_spray, _raised_before_stencil)
    said = [sentence for check in checks if (sentence := check(rows))]
    if sum(bool(roles) for _, roles in rows) > 1 or any(layer.placings > 1 for layer, _ in rows):
        said.append("Wash the stencil and dry it between placings.")
    return said


def _mask_without_background(rows):
    if any(Role.MASK in roles and Role.BACKGROUND not in roles for _, roles in rows):
        return "A mask lies with the background: lay both pieces in one placing, then lift them together."
    return ""


def _frame_before_shading(rows):
    frame = next((at for at, (_, roles) in enumerate(rows) if Role.FRAME in roles), None)
    if frame is not None and any(Role.SHADING in roles for _, roles in rows[frame + 1 :]):
        return "Shading goes on before the frame, so that the frame's edge stays crisp."
    return ""


def _icing_before_spray(rows):
    icing = next((at for at, (layer, _) in enumerate(rows) if layer.kind == Layer.Kind.ICING_PASS), None)
    if icing is not None and any(layer.kind == Layer.Kind.SPRAY for layer, _ in rows[icing + 1 :]):
        return (
            "Icing through a stencil goes last, so that later stencils lie flat. "
            "Gilding on raised icing is the exception."
        )
    return ""


def _raised_before_stencil(rows):
    raised = next((at for at, (layer, _) in enumerate(rows) if layer.kind in RAISED), None)
    if raised is not None and any(layer.kind in STENCILLED for layer, _ in rows[raised + 1 :]):
        return "Use the stencil before anything raised goes on: a stencil must lie flat."
    return ""
