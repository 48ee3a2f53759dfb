"""The classical order looked up in the library by name, for classical.toml."""

from core.apparatus import ApparatusId
from core.exercise import ExerciseId
from core.fold import fold
from core.repertoire import shipped
from tests.figures.figure import FOLDER, Computation, Figure, load


def mat_names() -> dict[str, ExerciseId]:
    """Folded name -> exercise on the mat, with and without spaces."""
    names: dict[str, ExerciseId] = {}
    for e in shipped().by_apparatus[ApparatusId("mat")]:
        for name in (e.name, e.short, *e.aliases):
            bare = fold(name).removesuffix(" on the mat")
            names.setdefault(bare, e.id)
            names.setdefault(bare.replace(" ", ""), e.id)
    return names


def found(figure: Figure) -> dict[str, ExerciseId]:
    """Each name of the order that the library knows -> its exercise."""
    names, called = mat_names(), figure.given["called"]
    asked = {name: fold(called.get(name, name)) for name in figure.value}
    hits = {name: names.get(f) or names.get(f.replace(" ", "")) for name, f in asked.items()}
    return {name: hit for name, hit in hits.items() if hit}


def classical_order(figure: Figure) -> list[str]:
    """The names the library knows, in the order asked."""
    return list(found(figure))


def classical_count(_: Figure) -> int:
    """How many different exercises they are."""
    order = next(f for f in load(FOLDER / "classical.toml") if f.id == "classical-order")
    return len(set(found(order).values()))


COMPUTED: dict[str, Computation] = {
    "classical-order": classical_order,
    "classical-count": classical_count,
}
