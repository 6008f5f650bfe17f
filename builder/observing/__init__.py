"""One photograph, from file to readings: the only place where ``look`` and ``measure`` meet.

An original is opened once; its digest, web sizes, the codes in it, the sheet and what lies on it,
the view of the piece and every reading come from that opening. What opens pictures is loaded only
where one is opened: a build in which nothing is new does not wait for it.
"""
