"""Fields of plain antennas along real ground by NEC-2's ground wave, to judge what each antenna gives to ours.

    pip install PyNEC==2.3.4 numpy==2.4.6
    python validation/ground-wave/make_antennas.py            writes antennas.csv
    python validation/ground-wave/make_antennas.py --check    compares, exit code 1 on a difference

NEC-2 takes Sommerfeld's ground for the current and Norton's formulas for the field; flat Earth, so only a few kilometres. Wires
lie along bearing 0, up to a quarter of a wavelength high, as stations hang them. Vertical wires stand free (NEC-2 allows none that touches real ground), half a wave long; so they judge the law of
the ground, not the closed form of a wire on its radials. The field is that of 1 kW into the antenna, root mean square.
"""

import pathlib
import sys

import numpy as np
from PyNEC import nec_context

OUT = pathlib.Path(__file__).resolve().parent / "antennas.csv"
C = 299.792458
GROUNDS = {"average": (13.0, 0.005), "poor": (5.0, 0.001)}
DISTANCES_KM = (5.0, 15.0)


def solved(wire, freq_mhz, ground, azimuths):
    """Field in dB over 1 uV/m at each azimuth and distance, and vertical gain in dBi 10 degrees up at each azimuth."""
    context = nec_context()
    n, p1, p2 = wire
    context.get_geometry().wire(1, n, *p1, *p2, 0.001, 1.0, 1.0)
    context.geometry_complete(1)
    context.gn_card(2, 0, *GROUNDS[ground], 0, 0, 0, 0)
    context.ex_card(0, 1, (n + 1) // 2, 0, 1.0, 0.0, 0, 0, 0, 0)
    context.fr_card(0, 1, freq_mhz, 0)
    for azimuth in azimuths:
        context.rp_card(0, 1, 1, 0, 0, 0, 0, 80.0, azimuth, 1.0, 1.0, 0.0, 0)
        for km in DISTANCES_KM:
            context.rp_card(1, 1, 1, 0, 0, 0, 0, 0.0, azimuth, 1.0, 1.0, 1000.0 * km, 0)
    context.xq_card(0)
    power_w = float(np.sum(context.get_input_parameters(0).get_power()))
    index = 0
    for azimuth in azimuths:
        # The field of the far pattern is referred to one metre.
        up = abs(complex(np.ravel(context.get_radiation_pattern(index).get_e_theta())[0]))
        vertical_dbi = 10 * np.log10(up**2 / 60.0 / power_w)
        index += 1
        for km in DISTANCES_KM:
            # NEC-2's fields are peaks.
            volts = abs(complex(np.ravel(context.get_radiation_pattern(index).get_e_theta())[0])) * np.sqrt(1000.0 / power_w / 2)
            yield azimuth, km, 20 * np.log10(volts * 1e6), vertical_dbi
            index += 1


def lines():
    yield "kind,length_m,height_m,freq_MHz,ground,azimuth_from_wire_deg,distance_km,field_dBuV_per_m_1kW,vertical_gain_10deg_dBi"
    for freq in (3.6, 7.1):
        half = 0.48 * C / freq
        for ground in GROUNDS:
            for part in (0.1, 0.15, 0.25):
                height = part * C / freq
                for azimuth, km, field, gain in solved((61, (-half / 2, 0.0, height), (half / 2, 0.0, height)), freq, ground, (0, 30, 60)):
                    yield f"dipole,{half:.3f},{height:.3f},{freq},{ground},{azimuth},{km},{field:.3f},{gain:.3f}"
            height = half / 2 + 0.02 * C / freq
            for azimuth, km, field, gain in solved((61, (0.0, 0.0, height - half / 2), (0.0, 0.0, height + half / 2)), freq, ground, (0,)):
                yield f"vertical,{half:.3f},{height:.3f},{freq},{ground},{azimuth},{km},{field:.3f},{gain:.3f}"


def main():
    text = "\n".join(lines()) + "\n"
    if "--check" in sys.argv:
        same = OUT.read_text(encoding="utf-8") == text
        print("same" if same else "DIFFERS")
        sys.exit(0 if same else 1)
    OUT.write_text(text, encoding="utf-8")


main()
