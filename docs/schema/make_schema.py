#!/usr/bin/env python3
"""Writes the JSON Schemas of what the program gives out, from the shapes in its sources and their doc comments.

Run it after a shape has changed:   python3 docs/schema/make_schema.py
Needs Python 3.11 and nothing else. That the program's real output holds against these files is another matter: a test of the program
checks that with an independent validator (crates/edge/farhop/tests/export.rs), so a shape that changed without this script fails there.
"""
import json
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
REPORT = ROOT / "crates/show/show/src"
TABLES = ROOT / "crates/edge/exchange/src/tables.rs"
DRAFT = "https://json-schema.org/draft/2020-12/schema"

SHARES = {"probability", "support", "duty", "charge_start", "reserve", "key_share", "counted_share", "came_back_share", "out_share"}
CHANCES = {"chance", "link_chance", "message_chance"}
INSTANT = re.compile(r"(^|_)(at|start|end|from|until|deadline)(_utc)?$")
CHANCE_WORDS = ["very unlikely", "unlikely", "about even", "likely", "very likely"]


def words_of(function):
    """The words that a function of words.rs can give."""
    text = (REPORT / "words.rs").read_text()
    body = text.split(f"pub fn {function}(")[1].split("\n}\n")[0]
    return re.findall(r'=> "([a-z-]+)"', body)


FIXED = {
    ("ChanceView", "word"): CHANCE_WORDS,
    ("BottomLineView", "word"): CHANCE_WORDS,
    ("CellView", "limit"): words_of("limit_key"),
}
ROW_WORDS = {"chance_word": CHANCE_WORDS, "message_chance_word": CHANCE_WORDS, "limit": words_of("limit_key")}


def structs(text):
    """name -> (doc, [(field, type, doc)]) of every shape in a `views!` block."""
    found = {}
    pattern = r"((?:^    ///.*\n)+)^    (\w+)\(.*\)(?: where \{(?:.*\}|\n(?:.|\n)*?^    \}))? \{\n((?:.|\n)*?)^    \}$"
    for docs, name, body in re.findall(pattern, text, re.M):
        fields, doc = [], []
        for line in body.splitlines():
            if line.startswith("        ///"):
                doc.append(line.strip()[3:].strip())
            elif match := re.match(r"        (\w+): (.+?) = .", line):
                fields.append((match[1], match[2], " ".join(doc)))
                doc = []
        found[name] = (" ".join(d.strip()[3:].strip() for d in docs.splitlines()), fields)
    return found


def shape(kind, field, owner, doc, known):
    """The schema of a Rust type."""
    if match := re.fullmatch(r"Option<(.+)>", kind):
        inner = shape(match[1], field, owner, doc, known)
        if "$ref" in inner or "enum" in inner:
            return {"anyOf": [inner, {"type": "null"}]}
        return inner | {"type": [inner["type"], "null"]}
    if match := re.fullmatch(r"Vec<(.+)>", kind):
        return {"type": "array", "items": shape(match[1], field, owner, doc, known)}
    if match := re.fullmatch(r"\[(.+); (\d+)\]", kind):
        inner = shape(match[1], field, owner, doc, known)
        return {"type": "array", "items": inner, "minItems": int(match[2]), "maxItems": int(match[2])}
    if kind in known:
        return {"$ref": f"#/$defs/{kind}"}
    if kind == "bool":
        return {"type": "boolean"}
    if kind in ("u8", "u32", "u64", "usize"):
        most = {"maximum": 100} if field == "percent" else {}
        return {"type": "integer", "minimum": 0} | most
    if kind == "f64":
        share = field in SHARES or field in CHANCES
        return {"type": "number"} | ({"minimum": 0, "maximum": 1} if share else {})
    if kind in ("String", "&'static str", "&'v str"):
        return text_shape(kind, field, owner, doc)
    raise SystemExit(f"{owner}.{field}: no schema for {kind}")


def text_shape(kind, field, owner, doc):
    if (owner, field) in FIXED:
        return {"enum": FIXED[owner, field]}
    said = re.findall(r"`([a-z-]+)`", doc)
    if kind == "&'static str" and len(said) > 1:
        return {"enum": said}
    if INSTANT.search(field) or owner == "WhenView":
        return {"type": "string", "format": "date-time"}
    return {"type": "string"}


def object_of(doc, fields, owner, known):
    properties = {}
    for field, kind, about in fields:
        one = shape(kind, field, owner, about, known)
        properties[field] = ({"description": about} if about else {}) | one
    return {
        "description": doc,
        "type": "object",
        "properties": properties,
        "required": [f[0] for f in fields],
        "additionalProperties": False,
    }


def needed(name, known, seen):
    if name not in seen:
        seen.append(name)
        for _, kind, _ in known[name][1]:
            for other in re.findall(r"\w+", kind):
                if other in known:
                    needed(other, known, seen)
    return seen


def plan_schema():
    known = {}
    for file in sorted(REPORT.rglob("*.rs")):
        known |= {n: s for n, s in structs(file.read_text()).items() if n.endswith("View")}
    whole = object_of(*known["PlanView"], "PlanView", known)
    inner = [n for n in needed("PlanView", known, []) if n != "PlanView"]
    return {
        "$schema": DRAFT,
        "title": "What `farhop plan --json` and `farhop export --json` give",
        **whole,
        "$defs": {n: object_of(*known[n], n, known) for n in sorted(inner)},
    }


def row_schema(name, title):
    text = TABLES.read_text()
    common = text.split("struct $name<'v> {")[1].split("$(")[0]
    own = text.split(f" {name} {{")[1].split("}")[0]
    fields = re.findall(r"(\w+): ([^,\n]+),", common) + re.findall(r"(\w+): ([^,\n]+),", own)
    whole = object_of(
        "One row: a cell with a number is a number, an empty cell is null. Keys end in their unit; instants are universal time.",
        [(f, k, "") for f, k in fields], name, {})
    for field, words in ROW_WORDS.items():
        if field in whole["properties"]:
            null = [{"type": "null"}] if dict(fields)[field].startswith("Option") else []
            one = {"enum": words}
            whole["properties"][field] = {"anyOf": [one, *null]} if null else one
    return {"$schema": DRAFT, "title": title, **whole}


def write(name, schema):
    (Path(__file__).parent / name).write_text(json.dumps(schema, indent=2, ensure_ascii=False) + "\n")


write("plan.schema.json", plan_schema())
write("windows-row.schema.json", row_schema("CallRow", "A row of the table that `farhop export --csv` gives"))
write("budgets-row.schema.json", row_schema("BudgetRow", "A row of the table that `farhop export --budgets` gives"))
