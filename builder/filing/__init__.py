"""Photographs on their way into the library, and what is written down of it.

``incoming`` lists what was handed over; ``matching`` says which piece each shows; ``planning`` says
as what it would be filed; ``carrying`` does it: copy, sidecar, ledger; ``recording`` writes down
what was put in or edited by hand. The source of a photograph is never moved or changed.
"""
