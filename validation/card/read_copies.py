"""Reads every frequency and callsign of field cards from a copy of a copy at 70 %, with an independent reader of letters.

Needs poppler (pdftoppm, pdftotext) and tesseract on the machine, and pillow and pytesseract from PyPI.
Usage: read_copies.py CARD.pdf ... ; ends with 1 where something could not be read.

The copier: rendered at 300 dots an inch and 70 % of the size, black and white, blurred as by a lens, black and white again, turned by
0.4 degrees, and black and white once more. What to find is what the PDF itself has as text in the rows: a frequency in kHz with a
point, and what looks like a callsign that begins with Q.
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pytesseract
from PIL import Image, ImageFilter

DPI = 300
SMALLER = 0.7
WANTED = re.compile(r"\b(?:\d{4,5}\.\d{1,3}|Q\d[A-Z0-9]{2,}(?:/[A-Z0-9]+)?)\b")


def alike(text):
    """O and 0 have nearly one shape in the card's font: a reader that does not know callsigns cannot tell them apart."""
    return text.replace("O", "0").replace("o", "0")


def one_bit(image):
    return image.convert("L").point(lambda v: 0 if v < 128 else 255)


def copied(image):
    first = one_bit(image)
    second = first.filter(ImageFilter.GaussianBlur(0.8)).rotate(0.4, resample=Image.BICUBIC, fillcolor=255)
    return one_bit(one_bit(second).filter(ImageFilter.GaussianBlur(0.6)))


def read(image):
    # The reader wants letters about thirty dots high; a larger picture has no more in it than the copy has.
    large = image.resize((image.width * 2, image.height * 2), Image.BICUBIC)
    texts = [pytesseract.image_to_string(large, config=f"--psm {mode}") for mode in (6, 11, 4)]
    return "\n".join(texts)


def card(pdf):
    missed, unsure, found = [], [], 0
    with tempfile.TemporaryDirectory() as folder:
        prefix = str(Path(folder) / "side")
        subprocess.run(["pdftoppm", "-r", str(int(DPI * SMALLER)), "-gray", "-png", pdf, prefix], check=True, stderr=subprocess.DEVNULL)
        for number, picture in enumerate(sorted(Path(folder).glob("side*.png")), start=1):
            page = ["-f", str(number), "-l", str(number), "-layout", pdf, "-"]
            text = subprocess.run(["pdftotext", *page], check=True, capture_output=True, text=True).stdout
            wanted = set(WANTED.findall(text))
            if not wanted:
                continue
            seen = re.sub(r"\s", "", read(copied(Image.open(picture))))
            for word in sorted(wanted):
                if word in seen:
                    found += 1
                elif alike(word) in alike(seen):
                    found += 1
                    unsure.append((number, word))
                else:
                    missed.append((number, word))
    return found, unsure, missed


def main():
    bad = 0
    for pdf in sys.argv[1:]:
        found, unsure, missed = card(pdf)
        bad += len(missed)
        print(f"{Path(pdf).name}: {found} read, {len(unsure)} of them with O for 0 {unsure}, {len(missed)} missed {missed}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
