"""What the scripts here share: write a table, or hold the committed one against it (`--check`)."""
import sys


def write_or_check(out, lines):
    text = "\n".join(lines) + "\n"
    if "--check" in sys.argv:
        same = out.read_text(encoding="utf-8") == text
        print("same" if same else "DIFFERS")
        sys.exit(0 if same else 1)
    out.write_text(text, encoding="utf-8")
    print(f"{len(lines) - 1} rows")
