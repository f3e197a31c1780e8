"""An invented honey house, Nine Lindens, and a week of its life, played through the same operations as any call."""

from demo_seed.season import play

__all__ = ["play"]
