#!/usr/bin/env python3
"""Field definitions and enumerations of the Amateur Data Interchange Format, as far as the journal writes them.

usage: make_adif_vectors.py FOLDER

FOLDER holds the specification's own exports, unchanged: fields.csv, enumerations_band.csv and enumerations_mode.csv
(ADIF 3.1.6, "Released", part of the resources that the ADIF developers publish with the specification).
No package is needed beyond the Python standard library.
"""

import csv
import hashlib
import pathlib
import sys

FIELDS = """ADIF_VER CREATED_TIMESTAMP PROGRAMID PROGRAMVERSION QSO_DATE TIME_ON QSO_DATE_OFF TIME_OFF CALL BAND FREQ MODE
STATION_CALLSIGN OPERATOR TX_PWR GRIDSQUARE LAT LON DISTANCE MY_GRIDSQUARE MY_LAT MY_LON MY_ALTITUDE MY_ANTENNA COMMENT""".split()
MODES = ["DYNAMIC"]
HERE = pathlib.Path(__file__).parent


def rows(folder, name):
    with open(folder / name, encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def write(name, header, lines):
    with open(HERE / name, "w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header)
        out.writerows(lines)


def main():
    folder = pathlib.Path(sys.argv[1])
    fields = {row["Field Name"]: row for row in rows(folder, "fields.csv")}
    keys = ["Field Name", "Data Type", "Enumeration", "Header Field", "Minimum Value", "Maximum Value", "Import-only"]
    write(
        "adif_fields.csv",
        ["field", "data_type", "enumeration", "header", "minimum_own_unit", "maximum_own_unit", "import_only"],
        [[fields[name][key] for key in keys] for name in FIELDS],
    )
    bands = [row for row in rows(folder, "enumerations_band.csv") if 1.6 <= float(row["Lower Freq (MHz)"]) <= 30]
    write(
        "adif_bands.csv",
        ["band", "lower_mhz", "upper_mhz"],
        [[row["Band"], row["Lower Freq (MHz)"], row["Upper Freq (MHz)"]] for row in bands],
    )
    modes = {row["Mode"]: row for row in rows(folder, "enumerations_mode.csv")}
    write("adif_modes.csv", ["mode", "import_only"], [[name, modes[name]["Import-only"]] for name in MODES])
    for name in ["fields.csv", "enumerations_band.csv", "enumerations_mode.csv"]:
        print(name, hashlib.sha256((folder / name).read_bytes()).hexdigest())


if __name__ == "__main__":
    main()
