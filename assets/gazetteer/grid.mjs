// Which areas each cell of a quarter of a degree meets, and which it lies wholly inside of.

export const kCell = 2500; // units of 10^-4 degree
export const kColumns = 1440;
export const kRows = 720;

const columnOf = (x) => Math.min(kColumns - 1, Math.max(0, Math.floor((x + 1800000) / kCell)));
const rowOf = (y) => Math.min(kRows - 1, Math.max(0, Math.floor((y + 900000) / kCell)));
export const cellOf = (x, y) => rowOf(y) * kColumns + columnOf(x);

/// For each area (a number) the arcs that bound it.
export function arcsByArea(arcs, areaCount) {
    const lists = Array.from({ length: areaCount }, () => []);
    arcs.forEach((arc, index) => arc.areas.forEach((area) => lists[area].push(index)));
    return lists;
}

/// Even-odd: whether (x, y), which may lie between units, is inside the area.
export function contains(arcs, indices, x, y) {
    let inside = false;
    for (const index of indices) {
        const p = arcs[index].points;
        for (let i = 2; i < p.length; i += 2) {
            const y1 = p[i - 1],
                y2 = p[i + 1];
            if (y1 <= y !== y2 <= y && p[i - 2] + ((p[i] - p[i - 2]) * (y - y1)) / (y2 - y1) > x)
                inside = !inside;
        }
    }
    return inside;
}

/// cells[cell] = [{area, isWhole}, ...] or undefined.
export function cellsOf(arcs, areaCount) {
    const cells = new Array(kRows * kColumns);
    const lists = arcsByArea(arcs, areaCount);
    lists.forEach((indices, area) => {
        if (indices.length === 0) return;
        const met = new Set();
        const crossings = new Map(); // row -> x of every border at the middle of the row
        for (const index of indices) {
            const p = arcs[index].points;
            for (let i = 2; i < p.length; i += 2) meet(p[i - 2], p[i - 1], p[i], p[i + 1], met, crossings);
        }
        for (const cell of met) (cells[cell] ??= []).push({ area, isWhole: false });
        for (const [row, xs] of crossings) {
            xs.sort((a, b) => a - b);
            for (let i = 0; i + 1 < xs.length; i += 2)
                for (let column = columnOf(xs[i]); column <= columnOf(xs[i + 1]); ++column) {
                    const middle = column * kCell + kCell / 2 - 1800000;
                    if (middle > xs[i] && middle < xs[i + 1] && !met.has(row * kColumns + column))
                        (cells[row * kColumns + column] ??= []).push({ area, isWhole: true });
                }
        }
    });
    return cells;
}

function meet(x1, y1, x2, y2, met, crossings) {
    if (y1 > y2) [x1, y1, x2, y2] = [x2, y2, x1, y1];
    const slope = y2 === y1 ? 0 : (x2 - x1) / (y2 - y1);
    // One unit wider, so that a border along the edge of a cell counts for both.
    for (let row = rowOf(y1 - 1); row <= rowOf(y2 + 1); ++row) {
        const south = row * kCell - 900000 - 1,
            north = south + kCell + 2;
        let a = x1 + slope * (Math.max(y1, south) - y1),
            b = x1 + slope * (Math.min(y2, north) - y1);
        if (y1 === y2 || y1 > north || y2 < south) {
            a = x1;
            b = x2;
        }
        if (a > b) [a, b] = [b, a];
        for (let column = columnOf(a - 1); column <= columnOf(b + 1); ++column)
            met.add(row * kColumns + column);
        const middle = row * kCell + kCell / 2 - 900000;
        if (y1 <= middle !== y2 <= middle) {
            if (!crossings.has(row)) crossings.set(row, []);
            crossings.get(row).push(x1 + slope * (middle - y1));
        }
    }
}
