"""The pictures of the README, from sheets that the samples draw.

Run by hand: python tests/make_pictures.py. Each is the PNG that `detailgen draw JOB
--format png` writes, made smaller.
"""

import io
import sys
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from detailgen.loader import load_job  # noqa: E402
from detailgen.pipeline import draw_job  # noqa: E402

FOLDER = ROOT / "samples" / "pictures"
WIDE = 1600
COLOURS = 160
PICTURES = {
    "wall": ("harbour-archive", "W1-1"),
    "roof-edge": ("harbour-archive", "E1-1"),
    "failing": ("low-walls-failing", "L1-1"),
    "joint": ("glassworks", "J1-1"),
    "drain": ("glassworks", "D1-2"),
    "corner": ("granary-corners", "G2-5"),
}
"""Name of a picture: the sample, and its sheet."""


def main() -> None:
    """Make all pictures again."""
    FOLDER.mkdir(exist_ok=True)
    for name, (sample, sheet) in PICTURES.items():
        drawn = draw_job(load_job(ROOT / "samples" / f"{sample}.toml"), ("png",))
        picture = Image.open(io.BytesIO(drawn.files[f"png/{sheet}.png"])).convert("RGB")
        size = WIDE, round(WIDE * picture.height / picture.width)
        small = picture.resize(size, Image.Resampling.LANCZOS)
        few = small.quantize(COLOURS, dither=Image.Dither.NONE)
        few.save(FOLDER / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
