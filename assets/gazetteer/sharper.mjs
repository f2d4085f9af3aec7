// The Census Bureau's counties come twice in their package: by degrees, rounded to 0.0036 degree of longitude (some
// 280 m) and 0.00086 of latitude, and on the map of the United States that d3.geoAlbersUsa() draws, rounded to 50 m and
// 29 m. Of the points of the first about three quarters are in the second, too: these get the finer of the two roundings.
// Alaska, Hawaii and the territories stay as they are: on the map they are small or missing.

const kRadians = Math.PI / 180;

/// d3.geoAlbersUsa().scale(1300).translate([487.5, 305]), as us-atlas says of its files: for the 48 states together
/// Albers' equal-area conic (Snyder, Map Projections, USGS 1395, p. 100) with parallels 29.5 and 45.5, about 96 west.
const kScale = 1300;
const kSin = Math.sin(29.5 * kRadians);
const kN = (kSin + Math.sin(45.5 * kRadians)) / 2;
const kC = 1 + kSin * (2 * kN - kSin);
const kRho = Math.sqrt(kC) / kN;

function conic(longitude, latitude) {
    const rho = Math.sqrt(kC - 2 * kN * Math.sin(latitude * kRadians)) / kN;
    const angle = kN * longitude * kRadians;
    return [rho * Math.sin(angle), kRho - rho * Math.cos(angle)];
}

const [kCentreX, kCentreY] = conic(-0.6, 38.7);

function toMap([longitude, latitude]) {
    const [x, y] = conic(longitude + 96, latitude);
    return [487.5 + kScale * (x - kCentreX), 305 - kScale * (y - kCentreY)];
}

function fromMap([mapX, mapY]) {
    const x = (mapX - 487.5) / kScale + kCentreX,
        y = kRho - ((305 - mapY) / kScale + kCentreY);
    return [Math.atan2(x, y) / kN / kRadians - 96, Math.asin((kC - (x * x + y * y) * kN * kN) / (2 * kN)) / kRadians];
}

const isOfThe48 = ([lon, lat]) => lon > -125 && lon < -66 && lat > 24 && lat < 50;

/// Arcs of a topology as lists of points in its own coordinates.
export function pointsOf({ transform: { scale, translate }, arcs }) {
    return arcs.map((arc) => {
        let x = 0,
            y = 0;
        return arc.map(([dx, dy]) => {
            x += dx;
            y += dy;
            return [x * scale[0] + translate[0], y * scale[1] + translate[1]];
        });
    });
}

/// The topology's arcs in degrees, each point as the finer rounding has it.
export function sharpened(degrees, map) {
    const [halfX, halfY] = degrees.transform.scale.map((step) => step / 2);
    // The map's own rounding, in degrees: up to 25 m each way.
    const slackX = 0.0004,
        slackY = 0.0003;
    const cells = new Map();
    const cellOf = (x, y) => `${Math.floor(x * 4)} ${Math.floor(y * 4)}`;
    const seen = new Set();
    for (const at of pointsOf(map).flat()) {
        if (seen.has(`${at}`)) continue;
        seen.add(`${at}`);
        const cell = cellOf(...at);
        if (!cells.has(cell)) cells.set(cell, []);
        cells.get(cell).push(fromMap(at));
    }
    /// The one point of the map that rounds to this one; undefined where there is none, or more than one.
    const twins = new Map();
    const twinOf = (point) => {
        const key = `${point}`;
        if (!twins.has(key)) twins.set(key, isOfThe48(point) ? lookFor(point) : undefined);
        return twins.get(key);
    };
    const lookFor = ([lon, lat]) => {
        const [x, y] = toMap([lon, lat]);
        const found = [];
        for (const dx of [-0.25, 0, 0.25])
            for (const dy of [-0.25, 0, 0.25])
                for (const point of cells.get(cellOf(x + dx, y + dy)) ?? [])
                    if (Math.abs(point[0] - lon) <= halfX + slackX && Math.abs(point[1] - lat) <= halfY + slackY)
                        found.push(point);
        return found.length === 1 ? found[0] : undefined;
    };
    return pointsOf(degrees).map((arc) => arc.map((point) => twinOf(point) ?? point));
}
