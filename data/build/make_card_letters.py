#!/usr/bin/env python3
"""Makes the letters of the field card for a browser: crates/edge/pocket/shell/card-400.woff2 and card-600.woff2.

From IBM Plex Sans Condensed as it lies in crates/show/paper/assets (OFL 1.1, with a reserved name): all letters, without hints, kerning
and ligatures, which the card does not use. What is changed may not carry the reserved name, so it is called Farhop Card.

Needs fonttools and brotli. Usage: make_card_letters.py, in the root of the repository.
"""
from fontTools import subset
from fontTools.ttLib import TTFont

FROM = "crates/show/paper/assets/IBMPlexSansCondensed-%s.ttf"
TO = "crates/edge/pocket/shell/card-%d.woff2"

for name, weight in (("Regular", 400), ("SemiBold", 600)):
    font = TTFont(FROM % name, recalcTimestamp=False)
    wanted = subset.Options(layout_features=[], hinting=False, name_IDs=[0, 1, 2, 4, 6, 13, 14])
    cut = subset.Subsetter(wanted)
    cut.populate(unicodes=font.getBestCmap())
    cut.subset(font)
    names = {1: "Farhop Card", 2: name, 4: f"Farhop Card {name}", 6: f"FarhopCard-{name}"}
    for record in font["name"].names:
        if record.nameID in names:
            record.string = names[record.nameID]
    font.flavor = "woff2"
    font.save(TO % weight)
