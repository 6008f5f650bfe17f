"""What the report says of its own making."""

from __future__ import annotations

HOW = """
Everything is worked out from 380 to 730 nm in steps of 5, drawn by chance from a fixed seed.

- **Lamps**: glowing bodies of 2700, 3000 and 3400 K (Planck), daylights of 4000 to 6500 K (CIE D
  series), the CIE’s nine LED lamps and its twelve fluorescent tubes (CIE 15:2018). Half of the
  set-ups have a good lamp.
- **Pieces**: plates and discs in the colours of the demo’s finishes. Open measurements of coloured
  metal were not at hand, so each has a made-up smooth spectrum of its colour: one drawn from the
  spread of some 280 measured surfaces (the training set of the ACES input transforms, the colour
  samples of CIE 224:2017), given that colour. Brushed, mottled or calm; about one in three shows a
  second colour in patches.
- **Truth**: the spectrum’s L\\*a\\*b\\* under D65, 2° observer.
- **Cards**: the measured 24-patch target of ISO 17321-1; its six greys alone; nine patches with
  made-up spectra. Each print is off its list by about one part in a hundred, smoothly over the
  spectrum.
- **Cameras**: three measured responses (two from the National Physical Laboratory, one from the
  public tools for ACES); a matrix fitted in daylight; a white balance that takes 75 to 100 % of the
  lamp’s colour away, give or take 2 %; three tone curves (plain, S-shaped, and phone-like with
  lifted shadows and a shoulder); sRGB, Display P3 and Adobe RGB files.
- **Pictures**: 1600 × 1200; up to 1.5 stops either way of an exposure that puts white paper at 55 %
  of what fills the sensor; light uneven by up to 25 % over the sheet, part sideways, part to the
  corners; stray light up to 0.8 % of white; noise of one part in 170 to 40 of full scale, and more
  in the darks; blur; JPEG 70 to 95; the camera up to 20° off the upright, and turned; a slightly
  bent lens. The sheet is the one that `patinarium print jig` prints.
- **Left out**: gloss and glare, shadows, two kinds of lamp at once, bent sheets, hands. Real
  pictures have these too.
"""

AGAIN = """
With the tests’ libraries installed, from the project’s folder:

```sh
python -m tests.benchmarks.colour --photos {photographs} --report docs/how-exact.md
```

It takes some minutes on two cores and writes this page; the same code and libraries give the same
page. `--cases FOLDER` also keeps every photograph’s figures as CSV.
"""
