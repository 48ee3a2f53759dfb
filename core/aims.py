"""The words for a focus and for what a class does without, and what each one means."""

from core.brief import Aim, Bar
from core.exercise import Demand, Direction, Muscle, Position, Theme


def _aim(name: str, *meanings: Theme | Muscle | Direction) -> Aim:
    return Aim(
        name,
        themes=frozenset(m for m in meanings if isinstance(m, Theme)),
        muscles=frozenset(m for m in meanings if isinstance(m, Muscle)),
        directions=frozenset(m for m in meanings if isinstance(m, Direction)),
    )


T, M, D = Theme, Muscle, Direction

AIMS: tuple[Aim, ...] = (
    _aim("glutes", T.HIP_EXTENSION, T.HIP_ABDUCTION, M.GLUTES, M.ABDUCTORS),
    _aim("legs", T.KNEE_EXTENSION, T.KNEE_FLEXION, M.QUADRICEPS, M.HAMSTRINGS),
    _aim("abdominals", T.ABDOMINALS, M.ABDOMINALS, M.OBLIQUES),
    _aim("obliques", M.OBLIQUES, D.ROTATION, D.LATERAL),
    _aim("back", D.EXTENSION, M.LOWER_BACK, M.MIDDLE_BACK),
    _aim("arms", T.PUSH, T.PULL, M.BICEPS, M.TRICEPS),
    _aim("shoulders", T.SHOULDER_STABILITY, M.SHOULDERS, M.TRAPS),
    _aim("chest", T.PUSH, M.CHEST),
    _aim("hips", T.HIP_MOBILITY, T.HIP_EXTENSION, T.HIP_ABDUCTION),
    _aim("hamstrings", T.KNEE_FLEXION, M.HAMSTRINGS),
    _aim("quads", T.KNEE_EXTENSION, M.QUADRICEPS),
    _aim("inner thighs", T.HIP_ADDUCTION, M.ADDUCTORS),
    _aim("outer hips", T.HIP_ABDUCTION, M.ABDUCTORS),
    _aim("feet", T.ANKLE_FOOT, M.FEET, M.CALVES),
    _aim("balance", T.BALANCE),
    _aim("breath", T.BREATH, M.PELVIC_FLOOR),
    _aim("mobility", T.SPINE_MOBILITY, T.HIP_MOBILITY),
    _aim("stretch", T.STRETCH, T.HIP_MOBILITY),
    _aim("full body", T.FULL_BODY),
    _aim("push", T.PUSH),
    _aim("pull", T.PULL),
    _aim("flexion", D.FLEXION),
    _aim("extension", D.EXTENSION),
    _aim("side bend", D.LATERAL),
    _aim("rotation", D.ROTATION),
)

# What people type -> the name above.
AIM_WORDS: dict[str, str] = {
    "glute": "glutes", "bum": "glutes", "seat": "glutes",
    "leg": "legs", "thighs": "legs",
    "abs": "abdominals", "core": "abdominals", "tummy": "abdominals", "centre": "abdominals",
    "center": "abdominals", "belly": "abdominals", "waist": "obliques",
    "spine": "mobility", "extensors": "back", "posture": "back", "upper back": "back",
    "arm": "arms", "shoulder": "shoulders", "scapula": "shoulders",
    "hip": "hips", "hams": "hamstrings", "hamstring": "hamstrings",
    "quadriceps": "quads", "quad": "quads", "adductors": "inner thighs",
    "inner thigh": "inner thighs",
    "abductors": "outer hips", "side hips": "outer hips", "foot": "feet", "ankles": "feet",
    "ankle": "feet",
    "calves": "feet", "pelvic floor": "breath", "breathing": "breath", "stretching": "stretch",
    "flexibility": "stretch", "whole body": "full body", "side bends": "side bend",
    "lateral": "side bend", "twist": "rotation", "twists": "rotation", "strength": "full body",
}  # fmt: skip


def _bar(name: str, *what: Demand | Position) -> Bar:
    return Bar(
        name,
        demands=frozenset(w for w in what if isinstance(w, Demand)),
        positions=frozenset(w for w in what if isinstance(w, Position)),
    )


X, P = Demand, Position

BARS: tuple[Bar, ...] = (
    _bar("wrists", X.WRISTS),
    _bar("shoulders", X.SHOULDERS, X.OVERHEAD, X.SIDE_LYING),
    _bar("overhead", X.OVERHEAD),
    _bar("elbows", X.ELBOW_LOAD, X.WRISTS),
    _bar("neck", X.NECK_LOAD, X.HEAD_BELOW_HEART),
    _bar("knees", X.KNEELING, X.DEEP_KNEE),
    _bar("kneeling", X.KNEELING, P.KNEELING, P.QUADRUPED),
    _bar("deep knees", X.DEEP_KNEE),
    _bar("ankles", X.ANKLE_LOAD, X.JUMPING),
    _bar("jumping", X.JUMPING),
    _bar("flexion", X.LOADED_FLEXION, X.END_FLEXION, X.FLEXION_ROTATION),
    _bar("extension", X.END_EXTENSION),
    _bar("rotation", X.ROTATION, X.FLEXION_ROTATION),
    _bar("side bend", X.LATERAL_END),
    _bar("prone", X.PRONE, P.PRONE),
    _bar("supine", X.SUPINE_FLAT),
    _bar("side lying", X.SIDE_LYING, P.SIDE_LYING),
    _bar("inversion", X.HEAD_BELOW_HEART, P.INVERTED),
    _bar("rolling", X.FAST_CHANGE),
    _bar("floor", X.FLOOR_TRANSFER),
    _bar("planks", X.LONG_HOLD, P.PLANK),
    _bar("balance", X.SINGLE_LEG, X.FALL_HEIGHT, X.UNSTABLE),
    _bar("single leg", X.SINGLE_LEG),
    _bar("standing up high", X.FALL_HEIGHT, P.STANDING_APPARATUS),
    _bar("grip", X.GRIP),
    _bar("hamstring stretch", X.HAMSTRING_STRETCH),
    _bar("wide hips", X.WIDE_HIP),
)

BAR_WORDS: dict[str, str] = {
    "wrist": "wrists", "hands": "wrists", "weight on wrists": "wrists",
    "shoulder": "shoulders", "elbow": "elbows", "knee": "knees", "kneel": "kneeling",
    "ankle": "ankles", "jumps": "jumping", "jump": "jumping", "bending forward": "flexion",
    "rounding": "flexion", "backbends": "extension", "backbend": "extension",
    "twisting": "rotation", "twists": "rotation", "twist": "rotation", "side bends": "side bend",
    "tummy": "prone", "lying prone": "prone", "on the back": "supine", "lying flat": "supine",
    "inversions": "inversion", "upside down": "inversion", "head down": "inversion",
    "roll": "rolling", "rolls": "rolling", "plank": "planks", "floor work": "floor",
    "one leg": "single leg", "hamstrings": "hamstring stretch", "gripping": "grip",
    "deep knee": "deep knees", "wide legs": "wide hips",
    "standing on top": "standing up high",
}  # fmt: skip


def aim(word: str) -> Aim | None:
    """The focus a folded word names, or None."""
    name = AIM_WORDS.get(word, word)
    return next((each for each in AIMS if each.name == name), None)


def bar(word: str) -> Bar | None:
    """What a folded word says to do without, or None; a focus can be done without, too."""
    name = BAR_WORDS.get(word, word)
    found = next((each for each in BARS if each.name == name), None)
    if found:
        return found
    as_aim = aim(word)
    return Bar(as_aim.name, themes=as_aim.themes, muscles=as_aim.muscles) if as_aim else None
