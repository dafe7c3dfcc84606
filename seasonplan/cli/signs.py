"""The signs of `explain`, under the name the commands know them by."""

from seasonplan.explain.signs import HEIGHTS, SHADES, SIGNS, TYPED_HEIGHTS, TYPED_SHADES, Sign

__all__ = ["HEIGHTS", "SHADES", "SIGNS", "TYPED_HEIGHTS", "TYPED_SHADES", "Sign"]
