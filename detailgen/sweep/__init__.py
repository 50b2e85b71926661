"""One condition over ranges of its parameters: which rules hold where."""

from detailgen.sweep._field import MOST, Axis, Field, Place, State, Value, sweep

__all__ = ["MOST", "Axis", "Field", "Place", "State", "Value", "sweep"]
