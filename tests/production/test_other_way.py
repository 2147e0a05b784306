"""A layer left off or done another way: what follows still waits for what is wet below it."""

from datetime import timedelta

from bakery.craft.work import LineSpec, OrderSpec, Shop, layers_of, work_of
from bakery.production.setbacks import Setbacks, specs_with

from .conftest import NOW


def test_without_the_spray_the_dots_still_wait_for_a_dry_base():
    line = LineSpec("l1", "Ferns", "stencil_detail", 12, colours=3)
    spec = OrderSpec("o1", "Supper", (line,), NOW + timedelta(days=9))
    spray = next(i for i, layer in enumerate(layers_of(line)) if layer.kind == "spray")
    (changed,) = specs_with([spec], Setbacks(without=frozenset({("o1", "l1", spray)})), Shop())
    assert [layer.kind for layer in changed.lines[0].layers] == ["flood", "piped"]
    waits = {(wait.before, wait.after): wait for wait in work_of(changed).waits}
    wait = waits["o1.l1.flood.1", "o1.l1.pipe.1"]
    assert (wait.kind, wait.slow_minutes > 240) == ("base_dry", True)


def test_icing_in_place_of_a_spray_has_a_crust_before_the_dots():
    line = LineSpec("l1", "Ferns", "stencil_detail", 12, colours=3)
    spec = OrderSpec("o1", "Supper", (line,), NOW + timedelta(days=9))
    spray = next(i for i, layer in enumerate(layers_of(line)) if layer.kind == "spray")
    (changed,) = specs_with([spec], Setbacks(ways=frozenset({("o1", "l1", spray)})), Shop())
    assert [layer.kind for layer in changed.lines[0].layers] == ["flood", "icing_pass", "piped"]
    waits = {(wait.before, wait.after): wait for wait in work_of(changed).waits}
    assert waits["o1.l1.icing_pass.1", "o1.l1.pipe.1"].kind == "crusted"
