// Polygons as arcs: a border that two areas share is held once. Coordinates are whole units of 10^-4 degree.

export const kUnits = 10000;

const key = (x, y) => (x + 180 * kUnits) * (180 * kUnits + 1) + (y + 90 * kUnits);

/// A collection of arcs: {points: [x, y, x, y, ...], areas: [area, ...]}; the areas that it bounds are one or two,
/// as a rule.
export class Arcs {
    list = [];
    #byShape = new Map();

    /// Arcs that are equal, in either direction, become one. Returns nothing: parity asks for no order.
    add(points, area) {
        const n = points.length;
        const forward = points.join();
        let known = this.#byShape.get(forward);
        if (known === undefined) {
            const backward = [];
            for (let i = n - 2; i >= 0; i -= 2) backward.push(points[i], points[i + 1]);
            known = this.#byShape.get(backward.join());
        }
        if (known === undefined) {
            known = this.list.length;
            this.list.push({ points, areas: [] });
            this.#byShape.set(forward, known);
        }
        // Twice for one area: it lies on both sides, so the arc is no border of it.
        const { areas } = this.list[known];
        const at = areas.indexOf(area);
        if (at >= 0) areas.splice(at, 1);
        else areas.push(area);
    }
}

/// Closed ring of [lon, lat] pairs in units; without repeated points, and without the last one.
function quantised(ring) {
    const out = [];
    for (const [lon, lat] of ring) {
        const x = Math.round(lon * kUnits),
            y = Math.round(lat * kUnits);
        if (out.length === 0 || out[out.length - 2] !== x || out[out.length - 1] !== y) out.push(x, y);
    }
    while (out.length > 2 && out[0] === out[out.length - 2] && out[1] === out[out.length - 1])
        out.length -= 2;
    return out;
}

/// Rings of all areas ({area, ring}) to arcs, cut where borders part, simplified to `toleranceOf` the areas they
/// bound.
export function arcsOfRings(rings, toleranceOf) {
    const shapes = rings
        .map(({ area, ring }) => ({ area, points: quantised(ring) }))
        .filter((s) => s.points.length >= 6);
    // A point is a fork when its two neighbours are not the same each time it is met.
    const neighbours = new Map();
    const forks = new Set();
    for (const { points } of shapes) {
        const n = points.length / 2;
        for (let i = 0; i < n; ++i) {
            const at = key(points[2 * i], points[2 * i + 1]);
            const p = (i + n - 1) % n,
                q = (i + 1) % n;
            const a = key(points[2 * p], points[2 * p + 1]),
                b = key(points[2 * q], points[2 * q + 1]);
            const pair = a < b ? [a, b] : [b, a];
            const before = neighbours.get(at);
            if (before === undefined) neighbours.set(at, pair);
            else if (before[0] !== pair[0] || before[1] !== pair[1]) forks.add(at);
        }
    }
    const arcs = new Arcs();
    for (const { area, points } of shapes) {
        const n = points.length / 2;
        const point = (i) => [points[2 * (i % n)], points[2 * (i % n) + 1]];
        const starts = [];
        for (let i = 0; i < n; ++i) if (forks.has(key(...point(i)))) starts.push(i);
        if (starts.length === 0) {
            // From its least point, so that a hole and what fills it are the same arc.
            let least = 0;
            for (let i = 1; i < n; ++i) if (key(...point(i)) < key(...point(least))) least = i;
            starts.push(least);
        }
        for (let s = 0; s < starts.length; ++s) {
            const from = starts[s];
            const to = s + 1 < starts.length ? starts[s + 1] : starts[0] + n;
            const arc = [];
            for (let i = from; i <= to; ++i) arc.push(...point(i));
            arcs.add(arc, area);
        }
    }
    for (const arc of arcs.list) arc.points = simplified(arc.points, toleranceOf(arc.areas));
    return arcs.list.filter((arc) => arc.areas.length > 0);
}

/// TopoJSON's arcs, as lists of points in degrees, with what each bounds.
export function arcsOfTopology(lines, geometries) {
    const arcs = lines.map((line) => {
        const points = [];
        for (const [lon, lat] of line) {
            const px = Math.round(lon * kUnits),
                py = Math.round(lat * kUnits);
            if (points.length < 2 || points[points.length - 2] !== px || points[points.length - 1] !== py)
                points.push(px, py);
        }
        return { points, areas: [] };
    });
    for (const { area, geometry } of geometries)
        for (const polygon of geometry.type === 'Polygon' ? [geometry.arcs] : geometry.arcs)
            for (const ring of polygon)
                for (const index of ring) {
                    const { areas } = arcs[index < 0 ? ~index : index];
                    const at = areas.indexOf(area);
                    if (at >= 0) areas.splice(at, 1);
                    else areas.push(area);
                }
    return arcs.filter((arc) => arc.areas.length > 0 && arc.points.length >= 4);
}

/// Ramer, Douglas and Peucker: no point of the line lies farther than `tolerance` (units of latitude) from what is
/// kept.
function simplified(points, tolerance) {
    const n = points.length / 2;
    const isClosed = points[0] === points[2 * n - 2] && points[1] === points[2 * n - 1];
    // By the line's place nearest to the equator, where a degree of longitude is longest.
    let nearest = Infinity;
    for (let i = 1; i < points.length; i += 2) nearest = Math.min(nearest, Math.abs(points[i]));
    const squeeze = Math.cos(((nearest / kUnits) * Math.PI) / 180);
    const keep = new Uint8Array(n);
    keep[0] = keep[n - 1] = 1;
    const farthest = (from, to) => {
        const ax = points[2 * from] * squeeze,
            ay = points[2 * from + 1];
        const bx = points[2 * to] * squeeze,
            by = points[2 * to + 1];
        const length2 = (bx - ax) ** 2 + (by - ay) ** 2;
        let most = -1,
            at = -1;
        for (let i = from + 1; i < to; ++i) {
            const px = points[2 * i] * squeeze,
                py = points[2 * i + 1];
            const t =
                length2 === 0
                    ? 0
                    : Math.min(1, Math.max(0, ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / length2));
            const d = (px - ax - t * (bx - ax)) ** 2 + (py - ay - t * (by - ay)) ** 2;
            if (d > most) {
                most = d;
                at = i;
            }
        }
        return [Math.sqrt(most), at];
    };
    const stack = [];
    if (isClosed && n >= 4) {
        const [, middle] = farthest(0, n - 1);
        keep[middle] = 1;
        // A third corner, so that an island stays one.
        const [d1, a1] = farthest(0, middle),
            [d2, a2] = farthest(middle, n - 1);
        const corner = d1 >= d2 ? a1 : a2;
        if (corner >= 0) keep[corner] = 1;
        stack.push([0, middle], [middle, n - 1]);
    } else {
        stack.push([0, n - 1]);
    }
    while (stack.length > 0) {
        const [from, to] = stack.pop();
        if (to - from < 2) continue;
        const [distance, at] = farthest(from, to);
        if (distance > tolerance) {
            keep[at] = 1;
            stack.push([from, at], [at, to]);
        }
    }
    const out = [];
    for (let i = 0; i < n; ++i) if (keep[i]) out.push(points[2 * i], points[2 * i + 1]);
    return out;
}
