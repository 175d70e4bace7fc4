#!/usr/bin/env python3
"""Reads what `farhop export` writes with libraries that know nothing of it, and holds it against the plan's JSON.

pip: icalendar==7.3.2 geojson==3.3.0 geographiclib==2.1 jsonschema[format]==4.26.0 lxml==6.1.3

Make the files and look at them:
    farhop export OUTING.toml --calendar a.ics --geojson a.geojson --gpx a.gpx --csv a.csv --budgets b.csv --json a.json
    python3 validation/exchange/check_exports.py FOLDER [gpx.xsd]

The schema of GPX 1.1 may not be passed on with this project; with a copy of it as second argument the GPX file is validated, too.
"""
import csv
import json
import sys
from datetime import datetime, timezone
from pathlib import Path

import geojson
import icalendar
from geographiclib.geodesic import Geodesic
from jsonschema import Draft202012Validator
from lxml import etree

SCHEMAS = Path(__file__).resolve().parents[2] / "docs/schema"
GPX = "{http://www.topografix.com/GPX/1/1}"


def utc(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00")).astimezone(timezone.utc)


def check_calendar(folder, plan):
    calendar = icalendar.Calendar.from_ical((folder / "a.ics").read_bytes())
    for component in calendar.walk():
        assert not component.errors, component.errors
    events = calendar.walk("VEVENT")
    found = sorted((e["DTSTART"].dt.astimezone(timezone.utc), e["DTEND"].dt.astimezone(timezone.utc)) for e in events)
    wanted = sorted((utc(w["start"]), utc(w["end"])) for w in plan["windows"])
    assert found == wanted, (found, wanted)
    for event in events:
        assert all(key in event for key in ("UID", "DTSTAMP", "SUMMARY", "DESCRIPTION")), event
    # The zone as the file itself describes it, without the library's own data.
    for zone in calendar.walk("VTIMEZONE"):
        described = zone.to_tz(lookup_tzid=False)
        for event, window in zip(events, plan["windows"]):
            local = event["DTSTART"].dt.replace(tzinfo=None)
            there = local.replace(tzinfo=described).astimezone(timezone.utc)
            assert there == event["DTSTART"].dt.astimezone(timezone.utc), (there, event["DTSTART"].dt)
    return f"{len(events)} events at the instants of the plan"


def check_geojson(folder):
    collection = geojson.loads((folder / "a.geojson").read_text())
    assert isinstance(collection, geojson.FeatureCollection)
    worst_m = 0.0
    paths = 0
    for feature in collection["features"]:
        assert feature.is_valid, feature.errors()
        if feature["properties"]["kind"] != "path":
            continue
        paths += 1
        geometry = feature["geometry"]
        parts = geometry["coordinates"] if geometry["type"] == "MultiLineString" else [geometry["coordinates"]]
        length_m = 0.0
        for part in parts:
            for (lon_a, lat_a), (lon_b, lat_b) in zip(part, part[1:]):
                assert abs(lon_a - lon_b) <= 180, "a line crosses the antimeridian"
                length_m += Geodesic.WGS84.Inverse(lat_a, lon_a, lat_b, lon_b)["s12"]
        (lon_a, lat_a), (lon_b, lat_b) = parts[0][0], parts[-1][-1]
        straight_m = Geodesic.WGS84.Inverse(lat_a, lon_a, lat_b, lon_b)["s12"]
        worst_m = max(worst_m, abs(length_m - straight_m))
    # Coordinates have seven decimals, about a centimetre each.
    assert worst_m < 0.5, worst_m
    return f"{len(collection['features'])} features, {paths} paths on the geodesic within {worst_m * 100:.1f} cm of its length"


def check_gpx(folder, schema):
    tree = etree.parse(folder / "a.gpx")
    points = tree.getroot().findall(f"{GPX}wpt")
    assert points and all(-180 <= float(p.get("lon")) < 180 for p in points)
    if schema is None:
        return f"{len(points)} waypoints (no schema given)"
    etree.XMLSchema(etree.parse(schema)).assertValid(tree)
    return f"{len(points)} waypoints, valid against {schema}"


def rows(path, words):
    def cell(name, text):
        if text == "":
            return None
        if name in words:
            return text
        try:
            return float(text)
        except ValueError:
            return text

    with open(path, newline="") as file:
        return [{n: cell(n, t) for n, t in row.items()} for row in csv.DictReader(file)]


def check_schemas(folder, plan):
    words = {"site", "station", "callsign", "antenna", "message", "mode"}
    count = 0
    tables = [("windows-row", rows(folder / "a.csv", words)), ("budgets-row", rows(folder / "b.csv", words)), ("plan", [plan])]
    for name, values in tables:
        schema = json.loads((SCHEMAS / f"{name}.schema.json").read_text())
        Draft202012Validator.check_schema(schema)
        validator = Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)
        for value in values:
            validator.validate(value)
            count += 1
    return f"{count} values hold against their schemas"


def main():
    folder = Path(sys.argv[1])
    schema = sys.argv[2] if len(sys.argv) > 2 else None
    plan = json.loads((folder / "a.json").read_text())
    print("calendar:", check_calendar(folder, plan))
    print("GeoJSON:", check_geojson(folder))
    print("GPX:", check_gpx(folder, schema))
    print("schemas:", check_schemas(folder, plan))


main()
