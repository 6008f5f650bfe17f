"""The running text of the guide's page on the sidecar."""

BEFORE_FIELDS = """
# The sidecar

Each test piece has a folder of its own, named by the number on the metal. In it lie its photographs
and one text file, `sample.yaml`: the sidecar. It says what was done, in the words of the bench.

```text
samples/
  SH-014/
    sample.yaml
    SH-014_2024-10-15_before-seal_front.jpg
    SH-014_2025-01-14_recheck_front.jpg
    IMG_2201.HEIC
```

Four things are asked for: `piece`, `metal`, `method`, and one date (`started`, `finished`, the
date of a sealant, or that of a check). All the rest may wait, or stay out.

```yaml
piece: SH-012
metal: copper
method: buried in damp sawdust
started: 2024-10-01
```

Problems never stop the rest: each is told with its file and line, what was found, what was
expected, and how to put it right. An editor that knows JSON Schema completes and checks the keys
while you type; the schema is [sidecar.schema.json](sidecar.schema.json).

## A piece written out

```yaml
piece: SH-012
form: plate blank
size_mm: [100, 150, 0.9]
metal: copper
temper: half hard
surface: abraded 400 grit
prep:                                # in the order they were done
  - {step: pickle, with: citric acid, strength: 100 g/l, minutes: 20}
  - {step: abrade, grit: 400}
  - {step: degrease, with: pumice and detergent}
  - {step: water-break, result: pass}
method: buried in damp sawdust
ingredients:
  - {name: beech sawdust, amount: 200 g}
  - {name: malt vinegar, amount: 120 ml, strength: 5 %}
  - {name: salt, amount: 15 g, as_written: 2½ tsp}
container: {kind: lidded tub, litres: 3, lid: clipped}
temperature_c: 18
humidity_pct: not measured
started: 2024-10-01T19:30
exposure: 7 d
stop: lifted out, brushed dry, not rinsed
dry: {how: on a rack, for: 7 d}
sealant: none
storage: {place: drawer, light: dark, humidity_pct: 45, handled: class}
colour_words: [chalky, blue-green, wood-chip pattern]
sheen: dead matt
outcome: success
checks:
  - {date: 2024-10-15, state: dry, seen: []}
  - date: 2025-01-14
    state: recheck
    seen:
      - {what: powdering, where: lower edge, extent: 5-25, severity: slight, moving: active}
made_by: R.T.
share: {recipe: students, photos: public}
```

!!! warning "Before you repeat a recipe"
    A sidecar is a record, not an instruction. Acids, ammonia, sulphides, hot metal and their fumes
    hurt. Local codes, the maker's safety sheet and licensed practice go before anything here.

## As that one, but…

```yaml
piece: SH-014
same_as: SH-012
change:
  sealant: {kind: microcrystalline wax, coats: 2, date: 2024-10-16, how: [cold, thin]}
why: does wax keep the chalk?
outcome: success
```

A key in `change` replaces the whole of that key; an empty one (`cure:`) takes it away. A piece may
repeat a piece that repeats another. Where a blank was tried more than once, say which time is
meant: `same_as: SH-012 attempt 2`.

## Missing, unknown, not measured

These are three different things, and stay so on the page.

| you write | it means |
| --- | --- |
| nothing, or `humidity_pct:` alone | it was never asked |
| `humidity_pct: unknown` | it was asked, and is lost |
| `humidity_pct: not measured` | it was left out on purpose |

## How values are read

Every value is read as the text it is. Readers of YAML usually turn `3:1` into 181, `19:30` into
1170, `012` into 10, `0000` into 0 and `on` into true; here they stay as written.

- A value that cannot be converted is kept as written and pointed out; no figure rests on it.
- **Gauge**: write the thickness in mm, or the gauge with its system, `20 SWG` or `20 AWG`. The
  systems differ by up to a fifth, so a bare `20` is taken for no thickness at all. American gauge
  is turned into mm by the formula of ASTM B258; British gauge is kept as its number.
- **Spoons, cups, pints**: a teaspoon is 5 ml and a tablespoon 15 ml, a cup is the US one, a pint, a
  quart, a gallon and a fluid ounce are imperial, unless you say otherwise: `1 US pint`,
  `1 metric cup`. The page says which was taken.
- **Dates**: `2024-10-01`, `2024-10-01T19:30` or `1 Oct 2024`. `01/10/2024` could be either way
  round, so it is not taken.
- **Ranges and vague amounts** (`3-4 d`, `overnight`, `a splash`) are kept in your words. Measure
  next time.
- Text with a colon and a space in it, or that begins with one of `[ { * & ! % @ # " '`, needs
  quotation marks: `amount: "3 : 1 by weight"`.
- Set lines in by spaces, never by tabs.
- American spellings and capitals of keys are taken too: `Color words`, `temperature`.

## One blank, tried again

A blank that was stripped and coloured again is a second document in the same file, after a line of
three hyphens. Nothing of the first is overwritten.

```yaml
piece: SH-008
metal: copper
method: dip
started: 2024-09-24
outcome: failure
cause: grease
---
attempt: 2
same_as: SH-008
change: {started: 2024-10-08}
outcome: success
```

## Photographs

Photographs need no entry. The name may tell what the picture shows, in any order after the number:

```text
SH-012_2025-01-14_recheck_front_xpol.jpg
```

number, date, state (`before-seal` and `before_seal` are the same), side, light (`xpol` for
cross-polarised, `raking`). A bare phone name, `IMG_1234.HEIC`, says nothing and is welcome: folder
and camera tell the rest. A picture whose name bears another piece's number is pointed out and not
compared. Write an entry only for what the name does not say:

```yaml
photos:
  - {file: IMG_1234.HEIC, state: wet, caption: just rinsed}
```

JPEG, HEIC and HEIF, PNG, TIFF and WebP are read. Sub-folders are not.
"""

AFTER_FIELDS = """
## Who may see what

`share` names parts of a piece and who may see them, one [audience](audiences.md) or several:
`recipe`, `photos`, `cost`, `piece` for all of it, any key of the piece, or a key in a key
(`storage.place`). Those it does not name do not see it; what it does not speak of goes by the rules
of each audience.

```yaml
share: {recipe: students, made_by: private, colour_words: [students, clients]}
```

A `share` that cannot be understood leaves the whole piece out until it is put right, so that
nothing you meant to keep is shown.
"""
