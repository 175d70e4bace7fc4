"""Bearings, great circles and the sun for make_budget.py, from the standard library alone."""

import datetime
import math

EARTH_KM = 6371.0


def bearing_deg(lat1, lon1, lat2, lon2):
    """Vincenty 1975, inverse, WGS-84: bearing at the first place."""
    a, f = 6378137.0, 1 / 298.257223563
    u1, u2 = (math.atan((1 - f) * math.tan(math.radians(v))) for v in (lat1, lat2))
    whole = lam = math.radians(lon2 - lon1)
    for _ in range(200):
        north = math.cos(u1) * math.sin(u2) - math.sin(u1) * math.cos(u2) * math.cos(lam)
        east = math.cos(u2) * math.sin(lam)
        sin_s = math.hypot(north, east)
        cos_s = math.sin(u1) * math.sin(u2) + math.cos(u1) * math.cos(u2) * math.cos(lam)
        s = math.atan2(sin_s, cos_s)
        sin_a = math.cos(u1) * math.cos(u2) * math.sin(lam) / sin_s
        c2a = 1 - sin_a ** 2
        c2m = cos_s - 2 * math.sin(u1) * math.sin(u2) / c2a
        c = f / 16 * c2a * (4 + f * (4 - 3 * c2a))
        new = whole + (1 - c) * f * sin_a * (s + c * sin_s * (c2m + c * cos_s * (2 * c2m ** 2 - 1)))
        if abs(new - lam) < 1e-13:
            break
        lam = new
    return math.degrees(math.atan2(east, north)) % 360


def vector(lat, lon):
    lat, lon = math.radians(lat), math.radians(lon)
    return (math.cos(lat) * math.cos(lon), math.cos(lat) * math.sin(lon), math.sin(lat))


def along(case, share):
    """Latitude and longitude at a share of the great circle."""
    p, q = (vector(case[f"{end}_lat_deg"], case[f"{end}_lon_deg"]) for end in ("from", "to"))
    angle = math.acos(sum(x * y for x, y in zip(p, q)))
    w = [math.sin((1 - share) * angle) / math.sin(angle), math.sin(share * angle) / math.sin(angle)]
    x, y, z = (w[0] * i + w[1] * j for i, j in zip(p, q))
    return math.degrees(math.atan2(z, math.hypot(x, y))), math.degrees(math.atan2(y, x)), angle * EARTH_KM


def sun(when):
    """Declination and hour angle at Greenwich, radians (Astronomical Almanac, low precision: 0.01 degrees)."""
    n = (when - datetime.datetime(2000, 1, 1, 12, tzinfo=datetime.timezone.utc)).total_seconds() / 86400
    g = math.radians(357.528 + 0.9856003 * n)
    lam = math.radians(280.460 + 0.9856474 * n + 1.915 * math.sin(g) + 0.020 * math.sin(2 * g))
    eps = math.radians(23.439 - 4e-7 * n)
    ascension = math.atan2(math.cos(eps) * math.sin(lam), math.cos(lam))
    sidereal = math.radians(280.46061837 + 360.98564736629 * n)
    return math.asin(math.sin(eps) * math.sin(lam)), sidereal - ascension


def zenith_deg(lat, lon, when):
    declination, greenwich = sun(when)
    lat = math.radians(lat)
    return math.degrees(math.acos(math.sin(lat) * math.sin(declination)
                                  + math.cos(lat) * math.cos(declination) * math.cos(greenwich + math.radians(lon))))
