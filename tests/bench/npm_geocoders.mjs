// General-purpose reverse geocoders of npm over the points of place_names, in the same run: node npm_geocoders.mjs FOLDER
// POINTS.csv AIRPORTS.csv. FOLDER has node_modules; packages that aren't there are said to be skipped.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const [folder, pointsFile, airportsFile] = process.argv.slice(2);
const load = async (name) => {
    const home = join(folder, 'node_modules', name);
    const about = JSON.parse(readFileSync(join(home, 'package.json'), 'utf8'));
    const entry = about.exports?.['.']?.import ?? about.exports?.import ?? about.module ?? about.main;
    const module = await import(pathToFileURL(join(home, entry)));
    return module.default ?? module;
};
const rows = (file) =>
    readFileSync(file, 'utf8')
        .trim()
        .split('\n')
        .slice(1)
        .map((line) => line.trim().split(','));
const points = rows(pointsFile).map(([lat, lon]) => [Number(lat), Number(lon)]);
const airports = rows(airportsFile).map(([, lat, lon, country]) => ({ at: [Number(lat), Number(lon)], country }));

const geocoders = {
    '@rapideditor/country-coder': (m) => (lat, lon) => m.iso1A2Code([lon, lat]),
    'offline-geocode-city': (m) => (lat, lon) => m.getNearestCity(lat, lon)?.countryIso2,
    'reverse-geocode': (m) => (lat, lon) => (m.lookup(lat, lon, 'us') === undefined ? undefined : 'US'),
};
for (const [name, use] of Object.entries(geocoders)) {
    let lookUp;
    const memory = process.memoryUsage().rss;
    const loading = performance.now();
    try {
        const asked = use(await load(name));
        lookUp = (...at) => {
            try {
                return asked(...at);
            } catch {
                return undefined; // one of them runs out of stack far from any city
            }
        };
        lookUp(43.56, -90.88);
    } catch (error) {
        console.log(`${name.padEnd(28)} skipped: ${error.code ?? error.message}`);
        continue;
    }
    const loaded = performance.now() - loading;
    const times = [];
    // A slow one gets as many points as fit into three seconds.
    const end = performance.now() + 3000;
    for (const [lat, lon] of points) {
        const before = performance.now();
        lookUp(lat, lon);
        times.push((performance.now() - before) * 1000);
        if (before > end) break;
    }
    times.sort((a, b) => a - b);
    const of = (share) => times[Math.floor(share * (times.length - 1))].toFixed(1).padStart(9);
    // One of them knows no country: it takes everything for the United States.
    let share = '-';
    if (name !== 'reverse-geocode') {
        const right = airports.filter(({ at, country }) => lookUp(...at) === country).length;
        share = `${((100 * right) / airports.length).toFixed(1)} %`;
    }
    const megabytes = (process.memoryUsage().rss - memory) / 1e6;
    console.log(`${name.padEnd(28)}${loaded.toFixed(2).padStart(9)}${of(0.5)}${of(0.95)}${share.padStart(7)}` +
        `           ${megabytes.toFixed(0).padStart(5)} more`);
}
