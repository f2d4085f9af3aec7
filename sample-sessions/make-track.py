#!/usr/bin/env python3
"""Makes a receiver's log (NMEA 0183) from a few waypoints: make-track.py waypoints.csv > track.nmea

waypoints.csv has the header time,lat,lon,hdop and at least two rows: RFC 3339 times, decimal degrees. One goes from
waypoint to waypoint at an even pace. An empty hdop: from here to the next waypoint the receiver has no position.
Every five seconds it says GGA and RMC; the last row ends the log. The scatter comes from a fixed sequence of numbers,
so the same waypoints give the same bytes everywhere.
"""

import csv
import datetime
import sys

STEP = datetime.timedelta(seconds=5)
SCATTER_M = 1.2  # times hdop: how far fixes wander while one stands still
NORTH_M = 111_000.0  # metres of a degree, near enough for a made-up walk
EAST_M = 80_500.0  # at 43.5 degrees north


class Scatter:
    """Numbers from -1 to 1 that wander slowly, as a receiver's errors do."""

    def __init__(self, seed):
        self.state = seed
        self.value = 0.0

    def next(self):
        # Constants of the minimal standard generator (Park and Miller 1988).
        self.state = self.state * 48271 % 2147483647
        fresh = self.state / 2147483647 * 2 - 1
        self.value = 0.8 * self.value + 0.6 * fresh
        return max(-1.0, min(1.0, self.value))


def sentence(body):
    checksum = 0
    for c in body:
        checksum ^= ord(c)
    return "$%s*%02X\r\n" % (body, checksum)


def degrees_minutes(value, width, positive, negative):
    units = round(abs(value) * 60 * 100_000)
    degrees, minutes = divmod(units, 60 * 100_000)
    whole, part = divmod(minutes, 100_000)
    return "%0*d%02d.%05d,%s" % (width, degrees, whole, part, negative if value < 0 else positive)


def read(path):
    with open(path, newline="", encoding="utf-8") as f:
        rows = list(csv.DictReader(f))
    for row in rows:
        yield (
            datetime.datetime.fromisoformat(row["time"]).astimezone(datetime.timezone.utc),
            float(row["lat"]),
            float(row["lon"]),
            float(row["hdop"]) if row["hdop"] else None,
        )


def main():
    waypoints = list(read(sys.argv[1]))
    north, east = Scatter(14), Scatter(15)
    leg = 0
    at = waypoints[0][0]
    out = []
    while at < waypoints[-1][0]:
        while at >= waypoints[leg + 1][0]:
            leg += 1
        (t0, lat0, lon0, hdop), (t1, lat1, lon1, _) = waypoints[leg], waypoints[leg + 1]
        clock = at.strftime("%H%M%S")
        date = at.strftime("%d%m%y")
        n, e = north.next(), east.next()
        if hdop is None:
            out.append(sentence("GPGGA,%s,,,,,0,00,,,M,,M,," % clock))
            out.append(sentence("GPRMC,%s,V,,,,,,,%s,,,N" % (clock, date)))
        else:
            way = (at - t0) / (t1 - t0)
            lat = lat0 + way * (lat1 - lat0) + n * SCATTER_M * hdop / NORTH_M
            lon = lon0 + way * (lon1 - lon0) + e * SCATTER_M * hdop / EAST_M
            where = degrees_minutes(lat, 2, "N", "S") + "," + degrees_minutes(lon, 3, "E", "W")
            out.append(sentence("GPGGA,%s,%s,1,08,%.1f,381.0,M,-33.4,M,," % (clock, where, hdop)))
            out.append(sentence("GPRMC,%s,A,%s,,,%s,,,A" % (clock, where, date)))
        at += STEP
    sys.stdout.write("".join(out))


main()
