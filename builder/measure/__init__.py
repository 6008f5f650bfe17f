"""Arrays in, numbers out: colour spaces, colour difference, card correction, readings, noise.

Nothing here opens a file. Scale throughout: XYZ with the white's Y = 1, never clipped; L*a*b* with
D65 white, 2° observer, unless a function says otherwise.
"""
