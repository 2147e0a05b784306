"""Recipes: the list, one with what goes in, and the questions it leaves open."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from . import recipe_words, recipes
from .models import Recipe, RecipePart, StockItem
from .recipe_forms import GramsForm, RecipeForm, ScaleForm, across, packets


@require_GET
def recipe_list(request):
    return render(request, "stock/recipes.html", recipe_words.overview(recipes.all_recipes()))


@require_http_methods(["GET", "POST"])
def recipe_add(request):
    what = request.GET.get("what", Recipe.What.DOUGH)
    what = what if what in Recipe.What.values else Recipe.What.DOUGH
    form = RecipeForm(request.POST if request.method == "POST" else None, what=what, initial=_fresh(what))
    if request.method == "POST" and form.is_valid():
        row = _save(form)
        if row is not None:
            messages.success(request, f"{row.name} is written down.")
            return redirect("recipe", row.pk)
    context = {"form": form, "what": what, "title": f"A recipe for {Recipe.What(what).label}"}
    return render(request, "stock/recipe_form.html", context, status=422 if form.errors else 200)


@require_GET
def recipe(request, pk):
    return _page(request, get_object_or_404(recipes.with_parts(), pk=pk))


@require_http_methods(["GET", "POST"])
def recipe_change(request, pk):
    row = get_object_or_404(recipes.with_parts(), pk=pk)
    form = RecipeForm(
        request.POST if request.method == "POST" else None, what=row.what, initial=_as_typed(row)
    )
    if request.method == "POST" and form.is_valid() and _save(form, row) is not None:
        messages.success(request, f"{row.name} is as you wrote it now.")
        return redirect("recipe", row.pk)
    context = {"form": form, "what": row.what, "row": row, "title": row.name}
    return render(request, "stock/recipe_form.html", context, status=422 if form.errors else 200)


@require_POST
def recipe_usual(request, pk):
    row = recipes.make_usual(row=get_object_or_404(Recipe, pk=pk))
    messages.success(request, f"{row.name} is your usual {row.get_what_display()} now.")
    return redirect("recipe", row.pk)


@require_POST
def recipe_drop(request, pk):
    row = get_object_or_404(Recipe, pk=pk)
    recipes.drop_recipe(row=row)
    messages.success(request, f"{row.name} is taken out of the book.")
    return redirect("recipes")


@require_POST
def part_grams(request, pk):
    part = get_object_or_404(RecipePart.objects.select_related("recipe"), pk=pk)
    form = GramsForm(request.POST)
    if form.is_valid():
        recipes.weigh_part(part=part, grams_each=form.cleaned_data["grams"])
        return redirect("recipe", part.recipe_id)
    row = recipes.with_parts().get(pk=part.recipe_id)
    wrong = {part.pk: (form.errors["grams"][0], request.POST.get("grams", "")[:20])}
    return _page(request, row, wrong=wrong, status=422)


@require_POST
def part_packet(request, pk):
    part = get_object_or_404(RecipePart, pk=pk)
    chosen = request.POST.get("item", "")[:12]
    item = StockItem.objects.filter(pk=int(chosen)).first() if chosen.isascii() and chosen.isdigit() else None
    recipes.name_packet(part=part, item=item)
    return redirect("recipe", part.recipe_id)


def _page(request, row, wrong=None, status=200):
    scaled = ScaleForm(request.GET if "cookies" in request.GET else None, initial=_sizes(row))
    context = recipe_words.page(row, wrong or {}, scaled)
    context |= {"row": row, "packets": packets(), "scale_form": scaled}
    return render(request, "stock/recipe.html", context, status=status)


def _save(form, row=None):
    try:
        return recipes.save_recipe(row=row, **form.made())
    except ValidationError as wrong:
        for field, sentences in wrong.message_dict.items():
            taken = field == "name" or field == "__all__"
            form.add_error("name" if taken else None, "Another recipe has this name." if taken else sentences)
    return None


def _sizes(row) -> dict:
    return {"across_mm": across(row.area_cm2), "thickness_mm": f"{row.thickness_mm.normalize():f}",
            "rerolls": row.rerolls, "cookies": 48}  # fmt: skip


def _as_typed(row) -> dict:
    return _sizes(row) | {"name": row.name, "cookies": row.cookies, "lines": recipes.text_of(row)}


def _fresh(what) -> dict:
    names = {Recipe.What.DOUGH: "My dough", Recipe.What.ICING: "My royal icing"}
    taken = Recipe.objects.filter(name=names[what]).exists()
    return {"name": "" if taken else names[what], "across_mm": 76, "thickness_mm": 6, "rerolls": 1,
            "cookies": recipes.usual(Recipe.What.DOUGH).cookies}  # fmt: skip
