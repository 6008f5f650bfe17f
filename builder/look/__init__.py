"""Opens each original once: digest, facts of the camera, colour encoding, upright pixels, and the
pictures that are published from it. The only package that knows the imaging library."""
