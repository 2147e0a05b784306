"""Making a design, its layers, its base colours."""

from datetime import UTC, datetime

import pytest
from django.core.exceptions import ValidationError

from bakery.craft.work import LineSpec, OrderSpec, Shop
from bakery.craft.work.icing import steps_of
from bakery.designs import services
from bakery.designs.adapters import layers_of
from bakery.designs.models import Design, Kind, Layer, StencilPiece, StencilSet
from bakery.designs.queries import with_layers
from bakery.designs.services import LayerData
from tests import factories as make

pytestmark = pytest.mark.django_db


def the_kind(key="stencil"):
    return Kind.objects.get(key=key)


def test_a_name_a_kind_and_a_shape_are_enough():
    design = services.make_design(name="  Sea  holly ", kind=the_kind(), shape="round")
    assert (design.name, design.slug, design.layers.count()) == ("Sea holly", "sea-holly", 0)


def test_pressing_twice_makes_one_design():
    one = services.make_design(name="Sea holly", kind=the_kind(), shape="round")
    assert services.make_design(name="sea holly", kind=the_kind(), shape="round") == one
    with pytest.raises(ValidationError, match="already a design called Sea holly"):
        services.make_design(name="Sea holly", kind=the_kind("plain"), shape="round")
    assert Design.objects.count() == 1


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "海の柊", "…", "=1+1", "new"])
def test_any_name_gets_an_address_of_its_own(name, signed_in):
    first = services.make_design(name=name, kind=the_kind(), shape="round")
    second = services.make_design(name=name + " ", kind=the_kind(), shape="round")
    assert first == second
    page = signed_in.get(f"/designs/{first.slug}/")
    assert page.status_code == 200
    assert b"<script>alert" not in page.content


def test_the_kinds_usual_layers_can_be_written_down_once():
    design = make.DesignFactory(kind__key="stencil_detail")
    services.lay_out_usual_layers(design=design)
    services.lay_out_usual_layers(design=design)
    assert [layer.kind for layer in design.layers.all()] == ["flood", "spray", "piped"]


def test_icing_colour_is_refused_in_an_airbrush_layer_with_the_reason(fern, colours):
    with pytest.raises(ValidationError) as refused:
        services.add_layer(design=fern, data=LayerData("spray", (colours["icing"]["Navy"],)))
    (said,) = refused.value.message_dict["colours"]
    assert "clog" in said
    assert "tacky" in said
    assert "airbrush colour Navy" in said
    assert fern.layers.count() == 3


def test_an_airbrush_colour_mixed_with_gel_is_refused_too(fern, colours):
    leaf = colours["airbrush"]["Leaf"]
    make.ColourPartFactory(colour=leaf, item=make.StockItemFactory(name="Moss gel", group="gel"))
    with pytest.raises(ValidationError, match="Moss gel"):
        services.add_layer(design=fern, data=LayerData("spray", (leaf,)))


def test_the_same_colours_may_be_laid_as_icing(fern, colours):
    layer = services.add_layer(design=fern, data=LayerData("icing_pass", (colours["icing"]["Navy"],)))
    assert layer.position == 3


def test_colours_go_on_light_first_and_keep_an_order_she_had(fern, colours):
    two = (colours["airbrush"]["Navy"], colours["airbrush"]["Bone"])
    layer = services.add_layer(design=fern, data=LayerData("spray", two))
    assert [row.colour.name for row in layer.layer_colours.all()] == ["Bone", "Navy"]
    layer.layer_colours.filter(colour=two[0]).update(position=0)
    layer.layer_colours.filter(colour=two[1]).update(position=1)
    services.change_layer(layer=layer, data=LayerData("spray", two))
    assert [row.colour.name for row in layer.layer_colours.all()] == ["Navy", "Bone"]


def test_layers_move_by_one_and_stop_at_the_ends(fern):
    flood, spray, dots = fern.layers.all()
    services.move_layer(layer=spray, by=1)
    assert list(fern.layers.all()) == [flood, dots, spray]
    services.move_layer(layer=spray, by=1)
    services.move_layer(layer=flood, by=-1)
    assert list(fern.layers.all()) == [flood, dots, spray]


def test_taking_a_layer_off_twice_takes_off_one(fern):
    pk = fern.layers.last().pk
    services.remove_layer(design=fern, layer_id=pk)
    services.remove_layer(design=fern, layer_id=pk)
    assert fern.layers.count() == 2


def test_a_stencil_is_named_at_first_use_and_found_again(fern):
    said = "Ammonite: background, mask ; Rope"
    layer = services.add_layer(design=fern, data=LayerData("spray", stencil=said))
    services.add_layer(design=fern, data=LayerData("spray", stencil="ammonite: MASK"))
    assert StencilSet.objects.count() == 3
    roles = StencilPiece.objects.filter(stencil_set__name="Ammonite").values_list("name", "role")
    assert set(roles) == {("background", "background"), ("mask", "mask")}
    assert layer.stencils.count() == 3


@pytest.mark.parametrize("text", ["!!!", "Fern: ???", "x" * 61])
def test_a_stencil_needs_a_name_one_can_say(fern, text):
    with pytest.raises(ValidationError) as refused:
        services.add_layer(design=fern, data=LayerData("spray", stencil=text))
    assert "stencil" in refused.value.message_dict


def test_a_base_is_icing_and_stands_once(fern, colours):
    with pytest.raises(ValidationError, match="for the airbrush"):
        services.add_variation(design=fern, base=colours["airbrush"]["Leaf"])
    services.add_variation(design=fern, base=colours["icing"]["Bone"], detail=colours["icing"]["Navy"])
    assert fern.variations.count() == 2


def test_a_stencil_colour_of_a_variation_must_be_sprayable(fern, colours):
    with pytest.raises(ValidationError) as refused:
        services.add_variation(design=fern, base=colours["icing"]["White"], motif=colours["icing"]["Navy"])
    assert "motif" in refused.value.message_dict


def test_a_base_that_was_ordered_stays(fern):
    variation = fern.variations.first()
    make.OrderFactory(lines__design=fern, lines__variation=variation)
    with pytest.raises(ValidationError, match="stays"):
        services.remove_variation(design=fern, variation_id=variation.pk)


def ids_of(design) -> dict[int, str]:
    """For each layer (by pk) the id its jobs begin with."""
    fresh = with_layers(Design.objects.filter(pk=design.pk)).get()
    line = LineSpec("l1", "", fresh.kind.key, 12, layers=layers_of(fresh))
    steps = steps_of(OrderSpec("o1", "x", (line,), datetime(2026, 12, 1, tzinfo=UTC)), line, Shop())
    rows = list(fresh.layers.all())
    return {rows[step.index].pk: step.jobs[0].id.split(".")[2] for step in steps}


@pytest.fixture
def two_floods():
    design = services.make_design(name="Harbour", kind=the_kind("plain"), shape="round")
    for kind in ("flood", "flood", "piped"):
        services.add_layer(design=design, data=LayerData(kind=kind))
    return design


def test_a_layer_put_below_the_others_takes_no_work_that_was_done(two_floods):
    before = ids_of(two_floods)
    assert sorted(before.values()) == ["flood", "flood2", "pipe"]
    new = services.add_layer(design=two_floods, data=LayerData(kind="flood"))
    for _ in range(3):
        services.move_layer(layer=Layer.objects.get(pk=new.pk), by=-1)
    assert two_floods.layers.order_by("position").first().pk == new.pk
    after = ids_of(two_floods)
    assert after.pop(new.pk) == "flood3"
    assert after == before


def test_a_layer_taken_off_leaves_its_number_to_nobody(two_floods):
    before = ids_of(two_floods)
    first, second = [pk for pk, name in before.items() if name.startswith("flood")]
    services.remove_layer(design=two_floods, layer_id=second)
    new = services.add_layer(design=two_floods, data=LayerData(kind="flood"))
    assert ids_of(two_floods)[new.pk] == "flood3"
    services.remove_layer(design=two_floods, layer_id=first)
    assert sorted(ids_of(two_floods).values()) == ["flood3", "pipe"]


def test_another_kind_is_another_layer_and_another_title_is_not(two_floods):
    before = ids_of(two_floods)
    second = next(pk for pk, name in before.items() if name == "flood2")
    layer = Layer.objects.get(pk=second)
    services.change_layer(layer=layer, data=LayerData(kind="flood", title="Sky"))
    assert ids_of(two_floods) == before
    services.change_layer(layer=Layer.objects.get(pk=second), data=LayerData(kind="piped"))
    services.change_layer(layer=Layer.objects.get(pk=second), data=LayerData(kind="flood"))
    assert ids_of(two_floods)[second] == "flood3"


def test_designs_from_before_keep_the_ids_their_jobs_have():
    """Layers without numbers, two sprays in one run: the first change writes down what jobs are called."""
    design = services.make_design(name="Mist", kind=the_kind("stencil"), shape="round")
    for at, kind in enumerate(("flood", "spray", "spray", "flood", "spray")):
        Layer.objects.create(design=design, position=at, kind=kind)
    before = ids_of(design)
    assert sorted(before.values()) == ["flood", "flood2", "spray", "spray2"]
    services.add_layer(design=design, data=LayerData(kind="lettering"))
    after = ids_of(design)
    assert {pk: after[pk] for pk in before} == before
    numbers = list(design.layers.values_list("kind", "number"))
    assert len(set(numbers)) == len(numbers)
    assert all(number for _, number in numbers)
