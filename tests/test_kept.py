"""What follows from a model is worked out once for that very model."""

from dataclasses import replace

from packs import built

from core.kept import KEPT, kept
from core.meshes import model_meshes


def test_a_model_is_asked_once():
    """The same model, asked the same, gives the same answer; an equal one that is another is asked anew."""
    asked = []

    @kept
    def name_of(model, length: int = 3):
        asked.append(model)
        return model.name[:length]

    model = built().pieces[0].model
    assert name_of(model) == name_of(model) == model.name[:3] and len(asked) == 1
    assert name_of(model, length=5) == model.name[:5] and len(asked) == 2
    assert name_of(replace(model)) == model.name[:3] and len(asked) == 3


def test_only_the_last_are_kept():
    """More models than are kept: the oldest is worked out again, the newest is not."""
    asked = []

    @kept
    def name_of(model):
        asked.append(model)
        return model.name

    models = [replace(built().pieces[0].model) for _ in range(KEPT + 1)]
    for model in models:
        name_of(model)
    name_of(models[-1])
    assert len(asked) == KEPT + 1
    name_of(models[0])
    assert len(asked) == KEPT + 2


def test_meshes_are_shared_where_the_model_is_one():
    """Meshes of a model are placed once, whoever asks."""
    model = built().pieces[0].model
    assert model_meshes(model) is model_meshes(model)
