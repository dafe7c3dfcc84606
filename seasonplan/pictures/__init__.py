"""Pictures on paper: marks in millimetres, and who writes them as SVG or PDF.

Draws views; knows no face and no file of the climber's.
"""
