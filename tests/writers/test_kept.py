"""What is kept for a scene is kept for that object alone, and not for ever."""

from dataclasses import replace

from detailgen.scene import Paper, Scene
from detailgen.writers._kept import MOST, kept


def _scene(number: int) -> Scene:
    return Scene(f"S{number}", "title", Paper("ISO A4", 297, 210), (), (), (), inches=False)


def test_work_is_done_once_for_a_scene():
    done: list[Scene] = []
    work = kept(lambda scene: done.append(scene) or len(done))
    scene = _scene(1)
    assert [work(scene), work(scene)] == [1, 1]
    assert work(replace(scene)) == 2  # equal, and yet another one
    assert done == [scene, scene]


def test_a_refusal_is_not_kept():
    asked: list[Scene] = []

    def refuse(scene: Scene) -> None:
        asked.append(scene)
        raise ValueError(scene.id)

    work, scene = kept(refuse), _scene(1)
    for _ in range(2):
        try:
            work(scene)
        except ValueError as error:
            assert str(error) == "S1"  # noqa: PT017
    assert len(asked) == 2


def test_the_oldest_is_let_go():
    done: list[str] = []
    work = kept(lambda scene: done.append(scene.id))
    scenes = [_scene(number) for number in range(MOST + 1)]
    for scene in [*scenes, scenes[-1], scenes[0]]:
        work(scene)
    assert done == [*(scene.id for scene in scenes), "S0"]
