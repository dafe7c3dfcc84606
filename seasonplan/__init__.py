"""Plan a climbing year: blocks, sessions and a phone calendar around the days that count."""

__version__ = "0.1.0"
