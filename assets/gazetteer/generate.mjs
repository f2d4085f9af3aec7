// Makes places.gazetteer from the packages in packages.json: node generate.mjs OUT [CACHE-FOLDER] [WEST SOUTH EAST
// NORTH] The same packages give the same bytes. With a box only what meets it goes in: small files for tests.

import { readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Areas } from './areas.mjs';
import { arcsByArea, cellsOf, kColumns } from './grid.mjs';
import { fileOf } from './layout.mjs';
import { arcsOfRings, arcsOfTopology } from './polygons.mjs';
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
let arcs = [
    ...arcsOfRings(areas.regionRings(), (bounded) => (bounded.some(isHome) ? kHomeTolerance : kTolerance)),
    ...arcsOfTopology(sources.counties, areas.countyGeometries()),
];
let cells = cellsOf(arcs, areas.list.length);
let { towns, ghosts } = townsOf(sources, areas, arcs, cells, () => arcsByArea(arcs, areas.list.length));
if (box.length === 4) {
    const [west, south, east, north] = box.map((b) => Number(b) * 10000);
    const isIn = (x, y) => x >= west && x < east && y >= south && y < north;
    cells = cells.map((cell, index) => {
        const x = (index % kColumns) * 2500 - 1800000,
            y = Math.floor(index / kColumns) * 2500 - 900000;
        return isIn(x, y) ? cell : undefined;
    });
    towns = towns.filter((t) => isIn(t.x, t.y));
    const met = new Set(
        cells
            .filter((c) => c !== undefined)
            .flat()
            .filter(({ isWhole }) => !isWhole)
            .map(({ area }) => area),
    );
    arcs = arcs.filter((arc) => arc.areas.some((area) => met.has(area)));
}
const { bytes, sizes } = fileOf({
    edition: manifest.edition,
    areas: areas.list,
    arcs,
    arcLists: arcsByArea(arcs, areas.list.length),
    cells,
    towns,
});
writeFileSync(out, bytes);
console.log(`${bytes.length} bytes: ${areas.list.length} areas, ${arcs.length} borders, ${towns.length} places`);
console.log(`${ghosts} ghosts left out`);
console.log(`sections ${sizes.join(' ')}`);
