"""Bytes are the same in a fresh process, and optimised Python guards as well as plain."""

import hashlib
import os
import subprocess
import sys
import textwrap

import pytest

from detailgen.writers import WRITERS
from tests.writers.sample import rich_scene


def run(code, *flags, **environment):
    done = subprocess.run(
        [sys.executable, *flags, "-c", textwrap.dedent(code)],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": os.pathsep.join(sys.path), **environment},
    )
    return done.stdout.split()


def test_bytes_are_the_same_in_another_process(tmp_path):
    code = """
        import hashlib
        from detailgen.writers import WRITERS
        from tests.writers.sample import rich_scene
        for extension in sorted(WRITERS):
            for inches in (False, True):
                data = WRITERS[extension](rich_scene(inches=inches))
                print(hashlib.sha256(data).hexdigest())
    """
    here = [
        hashlib.sha256(WRITERS[extension](rich_scene(inches=inches))).hexdigest()
        for extension in sorted(WRITERS)
        for inches in (False, True)
    ]
    # Another home folder: no font list, no settings, nothing that a library left there.
    home = {"HOME": str(tmp_path), "XDG_CACHE_HOME": str(tmp_path), "TZ": "Asia/Tokyo"}
    assert run(code, PYTHONHASHSEED="4711", LC_ALL="C", **home) == here


def test_optimised_python_refuses_what_would_be_an_entity_of_its_own():
    code = """
        from dataclasses import replace
        from detailgen.scene import Text, Layer
        from detailgen.writers import WRITERS
        from detailgen.writers._scene_gate import SceneError
        from tests.writers.sample import rich_scene, LAYERS
        bad = "x\\n  0\\nCIRCLE\\n  8\\n0\\n 10\\n0\\n 20\\n0\\n 40\\n9"
        scene = rich_scene()
        view = scene.views[0]
        items = [i for i in view.items]
        dims = [n for n, i in enumerate(items) if type(i).__name__ == "Dimension"]
        items[dims[0]] = replace(items[dims[0]], text='8"' + bad, suffix=bad)
        block = scene.items[-1]
        cell = replace(block.cells[0], value=bad)
        bold = [n for n, i in enumerate(scene.items) if type(i).__name__ == "Text"][0]
        hatch = [n for n, i in enumerate(scene.items) if type(i).__name__ == "Hatch"][0]
        wild = scene.items[hatch]
        wild = replace(wild, pattern=replace(wild.pattern, name=bad))
        scenes = [
            replace(scene, id=bad),
            replace(scene, title=bad),
            replace(scene, layers=(*LAYERS, Layer("x", bad, 0.25, (0, 0, 0)))),
            replace(scene, layers=(*LAYERS, Layer("x", "X", 0.25, (0, 0, 0), about=bad))),
            replace(scene, views=(replace(view, items=tuple(items)), *scene.views[1:])),
            replace(scene, items=(*scene.items[:-1], replace(block, cells=(cell,)))),
            replace(scene, items=(*scene.items, replace(scene.items[bold], content=bad))),
            replace(scene, items=(*scene.items, wild)),
        ]
        print(__debug__)
        for one in scenes:
            for write in WRITERS.values():
                try:
                    write(one)
                except SceneError:
                    print("refused")
                else:
                    print("written")
    """
    debug, *told = run(code, "-O")
    assert debug == "False"
    assert told == ["refused"] * 8 * len(WRITERS)


@pytest.mark.parametrize(
    ("extension", "library"),
    [("svg", "ezdxf"), ("svg", "reportlab"), ("svg", "matplotlib"), ("pdf", "ezdxf"),
     ("pdf", "matplotlib"), ("dxf", "reportlab"), ("dxf", "matplotlib")],
)  # fmt: skip
def test_a_format_loads_no_other_formats_library(extension, library):
    code = f"""
        import sys
        from detailgen.writers import WRITERS
        from tests.writers.sample import rich_scene
        WRITERS["{extension}"](rich_scene())
        print("{library}" in sys.modules)
    """
    assert run(code) == ["False"]
