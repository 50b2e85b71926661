"""Plane geometry in millimetres: the only folder that imports shapely.

`Region` is an area, `Line` a polyline, `Point` a pair (x, y). x runs to the right,
y upward. Other folders pass these values on and measure them with the functions here.
"""

from shapely import GEOSException as GeometryError
from shapely import LineString as Line
from shapely import Polygon as Region

Point = tuple[float, float]

__all__ = ["GeometryError", "Line", "Point", "Region"]
