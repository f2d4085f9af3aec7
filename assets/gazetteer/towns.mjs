// Towns and villages of GeoNames: what is a town, what only says which county it stands in, and what is a ghost.

import { cellOf, contains } from './grid.mjs';
import { kUnits } from './polygons.mjs';

/// GeoNames' feature codes: abandoned, historical, destroyed, religious places are no towns; a section of a place
/// is none either.
const kNoPlace = new Set(['PPLQ', 'PPLH', 'PPLCH', 'PPLW', 'PPLR']);
const kSection = 'PPLX';
/// Where the journal is written every village counts; elsewhere a village of fewer people than this is left out.
const kHome = new Set(['US', 'CA', 'MX', 'PR', 'GU', 'VI', 'AS', 'MP']);
const kFewestElsewhere = 1000;

const kilometres = (a, b) => {
    const dy = ((a.y - b.y) / kUnits) * 111.2;
    let dx = Math.abs(a.x - b.x) / kUnits;
    dx = Math.min(dx, 360 - dx) * 111.32 * Math.cos((((a.y + b.y) / 2 / kUnits) * Math.PI) / 180);
    return Math.hypot(dx, dy);
};

function readTowns(text) {
    const towns = [];
    for (const line of text.split('\n')) {
        const f = line.split('\t');
        if (f.length < 18 || kNoPlace.has(f[7])) continue;
        const measured = f[15] !== '' ? Number(f[15]) : Number(f[16]);
        towns.push({
            name: f[1],
            y: Math.round(Number(f[4]) * kUnits),
            x: Math.round(Number(f[5]) * kUnits),
            country: f[8],
            first: f[10],
            second: f[11],
            people: Number(f[14]),
            elevation: measured > -500 && measured < 9000 ? measured : undefined,
            isSection: f[7] === kSection,
        });
    }
    return towns;
}

/// A function that gives the towns within about `reach` units of a place.
function indexed(towns) {
    const byCell = new Map();
    const cell = (x, y) => Math.floor(x / 2000) * 10000 + Math.floor(y / 2000);
    for (const t of towns) {
        const k = cell(t.x, t.y);
        if (!byCell.has(k)) byCell.set(k, []);
        byCell.get(k).push(t);
    }
    return (t, reach) => {
        const out = [];
        const n = Math.ceil(reach / 2000);
        for (let i = -n; i <= n; ++i)
            for (let j = -n; j <= n; ++j)
                out.push(...(byCell.get(cell(t.x + 2000 * i, t.y + 2000 * j)) ?? []));
        return out;
    };
}

/// Canadian places that only the newer list has. It gives neither their size nor their kind: those inside a large
/// place are its neighbourhoods and serve to tell the county only.
function newerTowns(rows, towns) {
    const near = indexed(towns.filter((t) => t.country === 'CA'));
    const out = [];
    for (const row of rows) {
        if (row.country !== 'CA') continue;
        const t = {
            name: row.name,
            y: Math.round(Number(row.lat) * kUnits),
            x: Math.round(Number(row.lng) * kUnits),
            country: 'CA',
            first: row.admin1,
            second: row.admin2,
            people: 0,
            elevation: undefined,
            isSection: false,
        };
        const around = near(t, 4000).map((o) => ({ o, km: kilometres(o, t) }));
        const known = around.find(({ o, km }) => o.name === t.name && km < 15);
        if (known !== undefined) {
            if (known.o.second === '' || known.o.second.length === 8) known.o.second = t.second;
            continue;
        }
        t.isSection = around.some(
            ({ o, km }) => !o.isSection && o.people > 2000 && km < 0.02 * Math.sqrt(o.people),
        );
        out.push(t);
    }
    return out;
}

/// Of places with one name and one county that lie over 60 km apart, all but one are errors of the list: kept is
/// the one inside the county's polygon, or nearest to the middle of what else is in the county.
function withoutGhosts(towns, arcs, arcLists) {
    const groups = new Map(),
        byCounty = new Map();
    for (const t of towns) {
        if (t.county === undefined) continue;
        const k = `${t.county} ${t.name}`;
        (groups.get(k) ?? groups.set(k, []).get(k)).push(t);
        (byCounty.get(t.county) ?? byCounty.set(t.county, []).get(t.county)).push(t);
    }
    const median = (numbers) => numbers.sort((a, b) => a - b)[numbers.length >> 1];
    const ghosts = new Set();
    for (const group of groups.values()) {
        if (group.length < 2 || Math.max(...group.map((t) => kilometres(t, group[0]))) < 60) continue;
        const county = group[0].county;
        const middle = {
            x: median(byCounty.get(county).map((t) => t.x)),
            y: median(byCounty.get(county).map((t) => t.y)),
        };
        const score = (t) =>
            (contains(arcs, arcLists[county] ?? [], t.x + 0.5, t.y + 0.5) ? -1e6 : 0) + kilometres(t, middle);
        const kept = group.reduce((a, b) => (score(b) < score(a) ? b : a));
        for (const t of group) if (t !== kept && kilometres(t, kept) > 60) ghosts.add(t);
    }
    return { kept: towns.filter((t) => !ghosts.has(t)), ghosts: ghosts.size };
}

/// Towns with `area`, the smallest area that we know them to stand in, in an order that doesn't depend on the
/// sources'.
export function townsOf(sources, areas, arcs, cells, arcListsOf) {
    let towns = readTowns(sources.towns).filter((t) =>
        kHome.has(t.country) ? true : !t.isSection && t.people >= kFewestElsewhere,
    );
    towns.push(...newerTowns(sources.newerTowns, towns));
    for (const t of towns) t.county = areas.countyOfPlace(t.country, t.first, t.second);
    const arcLists = arcListsOf();
    const { kept, ghosts } = withoutGhosts(towns, arcs, arcLists);
    // In the United States the polygons know the county better (Connecticut's changed in 2022); elsewhere the
    // codes, if they name one. What is left falls to the polygons, unless they say another country.
    for (const t of kept) {
        const inside = (cells[cellOf(t.x, t.y)] ?? [])
            .filter(({ area, isWhole }) => isWhole || contains(arcs, arcLists[area], t.x + 0.5, t.y + 0.5))
            .map(({ area }) => area)
            .sort((a, b) => areas.list[b].kind - areas.list[a].kind);
        const isOfCountry = (area) => areas.list[areas.countryOf(area)].code === t.country;
        const polygon = inside.find(isOfCountry);
        const area = t.country === 'US' ? (polygon ?? t.county) : (t.county ?? polygon);
        t.area = area ?? areas.regionOfGeoNames.get(`${t.country}.${t.first}`) ?? areas.country(t.country);
    }
    const order = (a, b) =>
        a.y - b.y || a.x - b.x || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0) || a.people - b.people;
    kept.sort(order);
    return { towns: kept.filter((t) => !t.isSection || t.country === 'CA' || t.country === 'MX'), ghosts };
}
