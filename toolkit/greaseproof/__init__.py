"""Workshop procedures, written once and proven for every machine they cover."""

__version__ = "0.1.0"
