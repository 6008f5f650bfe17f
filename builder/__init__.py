"""Patinarium: a library of coloured-metal test pieces, built from folders of photographs and notes.

The way through the house is straight: ``read`` → ``look`` → ``measure`` → ``relate`` → ``publish``.
``pipeline`` composes it, ``cli`` and ``plugin`` start it.
"""

__version__ = "0.1.0"
