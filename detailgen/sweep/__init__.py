"""One condition over ranges of its parameters: which rules hold where."""

from detailgen.sweep._field import MOST, ROOF, Axis, Field, Place, State, Value, sweep

__all__ = ["MOST", "ROOF", "Axis", "Field", "Place", "State", "Value", "sweep"]
