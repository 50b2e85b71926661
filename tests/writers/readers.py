"""What the tests read files back with: none of it is the program's own."""

import re

import shapely
from pyogrio import raw, set_gdal_config_options

CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f\x85\u2028\u2029]")


def tags(data):
    """Return group code and value of every line pair of a DXF file, strictly."""
    lines = data.decode("utf-8").split("\n")
    lines = [line.rstrip("\r") for line in lines]
    if lines[-1] == "":
        lines.pop()
    assert len(lines) % 2 == 0
    found = [(int(lines[i]), lines[i + 1]) for i in range(0, len(lines), 2)]
    assert all(-6 <= code <= 1071 and not CONTROL.search(value) for code, value in found)
    assert found[-1] == (0, "EOF")
    return found


def sections(data):
    """Return the entities of a DXF file by section, each a list of tags."""
    found, section = {}, None
    entity = None
    for code, value in tags(data):
        if code == 2 and entity and entity[0] == (0, "SECTION") and len(entity) == 1:
            section = value
            found[section] = []
            entity = None
        elif code == 0:
            entity = [(code, value)]
            if section and value not in {"ENDSEC", "SECTION"}:
                found[section].append(entity)
        elif entity is not None:
            entity.append((code, value))
    return found


def gdal(path):
    """Return what GDAL makes of a DXF file: a dict for each feature."""
    set_gdal_config_options({"DXF_CLOSED_LINE_AS_POLYGON": "TRUE", "DXF_ENCODING": "UTF-8"})
    meta, _, shapes, columns = raw.read(path)
    names = list(meta["fields"])
    rows = []
    for i, shape in enumerate(shapes):
        row = dict(zip(names, (column[i] for column in columns), strict=True))
        row["geom"] = shapely.from_wkb(shape) if shape is not None else None
        rows.append(row)
    return rows
