// Countries, first-level regions and counties with their codes and the names that people write.

export const kCountry = 0;
export const kRegion = 1;
export const kCounty = 2;

/// Parts of a country that have a code of their own in ISO 3166-1, as Natural Earth writes them: FR-GF.
const kOwnCodes = new Set(
    (
        'FR-GF FR-GP FR-MQ FR-RE FR-YT FR-PM FR-BL FR-MF FR-WF FR-PF FR-NC FR-TF US-PR US-GU US-VI US-AS ' +
        'US-MP US-UM NL-AW NL-CW NL-SX NL-BQ NO-SJ NO-BV CN-HK CN-MO CN-TW FI-AX AU-CX AU-CC AU-NF AU-HM DK-GL DK-FO'
    ).split(' '),
);

/// Parts that Natural Earth gives to another country than ISO 3166-1 does, or under another code. This follows the
/// codes of the standard and says nothing on whose land it is.
const kCountryOfPart = {
    'UA-40': 'UA',
    'UA-43': 'UA',
    'MA-15': 'EH',
    'MA-16': 'EH',
    'NL-BQ1': 'BQ',
    'NL-BQ2': 'BQ',
    'NL-BQ3': 'BQ',
    '-99-X14~': 'CX',
    '-99-X15~': 'CC',
};

/// What has changed since Natural Earth's list, and short names where ISO's are the long official ones.
const kNewCodes = { 'MX-DIF': 'MX-CMX' };
const kShortNames = {
    'MX-COA': 'Coahuila',
    'MX-MIC': 'Michoacán',
    'MX-VER': 'Veracruz',
    'MX-MEX': 'Estado de México',
    'MX-CMX': 'Ciudad de México',
};

/// Federal code of a state -> its letters.
const kStateOfFips = Object.fromEntries(
    (
        '01AL 02AK 04AZ 05AR 06CA 08CO 09CT 10DE 11DC 12FL 13GA 15HI 16ID 17IL 18IN 19IA 20KS 21KY 22LA 23ME ' +
        '24MD 25MA 26MI 27MN 28MS 29MO 30MT 31NE 32NV 33NH 34NJ 35NM 36NY 37NC 38ND 39OH 40OK 41OR 42PA 44RI ' +
        '45SC 46SD 47TN 48TX 49UT 50VT 51VA 53WA 54WV 55WI 56WY'
    )
        .split(' ')
        .map((both) => [both.slice(0, 2), both.slice(2)]),
);
const kTerritoryOfFips = { 60: 'AS', 66: 'GU', 69: 'MP', 72: 'PR', 78: 'VI' };
const kTerritories = new Set(Object.values(kTerritoryOfFips));

/// The Census Bureau's name with its legal word, which the boundary file leaves out.
function countyName(fips, name, geoNames) {
    const state = fips.slice(0, 2),
        number = Number(fips.slice(2));
    const territory = kTerritoryOfFips[state];
    if (territory === 'PR') return `${name} Municipio`;
    if (territory === 'VI') return `${name} Island`;
    if (territory === 'AS') return `${name} District`;
    if (territory === 'MP') return `${name} Municipality`;
    if (territory === 'GU' || state === '11' || fips === '32510') return name;
    // Independent cities: 510 and above in Virginia, Baltimore and St. Louis.
    if (number >= 510 && ['51', '24', '29'].includes(state)) return `${name} city`;
    if (state === '22') return `${name} Parish`;
    if (state === '09') return `${name} Planning Region`;
    if (state === '02') {
        const typed = geoNames.get(`US.AK.${fips.slice(2)}`) ?? '';
        const word = ['City and Borough', 'Borough', 'Census Area', 'Municipality'].find((w) =>
            typed.includes(w),
        );
        if (word === undefined) throw new Error(`no type word for ${fips} ${name}`);
        return `${name} ${word}`;
    }
    return `${name} County`;
}

/// INEGI numbers the states by name; GeoNames orders four of them otherwise.
const kInegi = (
    'AGU BCN BCS CAM COA COL CHP CHH CMX DUR GUA GRO HID JAL MEX MIC ' +
    'MOR NAY NLE OAX PUE QUE ROO SLP SIN SON TAB TAM TLA VER YUC ZAC'
).split(' ');

export class Areas {
    list = [];
    #byKey = new Map();
    #sources;
    #countryNames;
    #subdivisions;
    #geoNames;
    /// GeoNames' number of a first-level region ("CA.08") -> our area
    regionOfGeoNames = new Map();

    constructor(sources) {
        this.#sources = sources;
        this.#countryNames = new Map(sources.countryCodes.map((c) => [c.alpha_2, c.common_name ?? c.name]));
        this.#countryNames.set('XK', 'Kosovo'); // user-assigned in ISO 3166-1, in general use
        this.#subdivisions = new Map(sources.subdivisionCodes.map((s) => [s.code, s.name]));
        this.#geoNames = new Map(sources.secondLevel.map((a) => [a.code, a.name]));
    }

    #area(key, make) {
        let index = this.#byKey.get(key);
        if (index === undefined) {
            // Made first: it may add its parent.
            const area = { parent: 0xffff, isCoarse: false, ...make() };
            index = this.list.length;
            this.list.push(area);
            this.#byKey.set(key, index);
        }
        return index;
    }

    country(alpha2) {
        if (!this.#countryNames.has(alpha2)) throw new Error(`no country ${alpha2}`);
        return this.#area(alpha2, () => ({
            kind: kCountry,
            code: alpha2,
            name: this.#countryNames.get(alpha2),
        }));
    }

    #region(country, code, name) {
        const known = this.#subdivisions.has(code);
        const shown = kShortNames[code] ?? (known ? this.#subdivisions.get(code) : name);
        if (!shown) return this.country(country);
        return this.#area(known ? code : `${country} ${shown}`, () => ({
            kind: kRegion,
            code: known ? code : '',
            name: shown,
            parent: this.country(country),
        }));
    }

    /// Natural Earth's polygons: [{area, ring}], in the order of the source.
    regionRings() {
        const rings = [];
        for (const { properties: p, geometry } of this.#sources.regions) {
            const isOwn = kOwnCodes.has(p.iso_3166_2);
            const country = isOwn ? p.iso_3166_2.slice(3) : (kCountryOfPart[p.iso_3166_2] ?? p.iso_a2);
            const code = kNewCodes[p.iso_3166_2] ?? p.iso_3166_2;
            const isWhole = isOwn || kTerritories.has(country);
            const area = isWhole ? this.country(country) : this.#region(country, code, p.name);
            // Of the United States the Census Bureau's counties are better; these tell whose the water is.
            if (country === 'US' || kTerritories.has(country)) this.list[area].isCoarse = true;
            if (p.gn_a1_code && !this.regionOfGeoNames.has(p.gn_a1_code))
                this.regionOfGeoNames.set(p.gn_a1_code, area);
            for (const polygon of geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates)
                for (const ring of polygon) rings.push({ area, ring });
        }
        return rings;
    }

    /// The Census Bureau's counties: [{area, geometry}].
    countyGeometries() {
        return this.#sources.counties.objects.counties.geometries.map((geometry) => {
            const fips = geometry.id;
            const territory = kTerritoryOfFips[fips.slice(0, 2)];
            const parent = territory
                ? this.country(territory)
                : this.#region('US', `US-${kStateOfFips[fips.slice(0, 2)]}`, '');
            const name = countyName(fips, geometry.properties.name, this.#geoNames);
            return {
                area: this.#area(`county ${fips}`, () => ({ kind: kCounty, code: fips, name, parent })),
                geometry,
            };
        });
    }

    /// The county, region or country that GeoNames' codes of a place mean; undefined where they mean none here.
    countyOfPlace(country, first, second) {
        if (second === '') return undefined;
        if (country === 'US') {
            const fips = Object.keys(kStateOfFips).find((f) => kStateOfFips[f] === first) + second;
            return this.#byKey.get(`county ${fips}`);
        }
        if (country === 'CA') return this.#canadian(first, second);
        if (country === 'MX') return this.#mexican(first, second);
        return undefined;
    }

    /// Census divisions (four digits of the Standard Geographical Classification), Quebec's regions, territories'
    /// regions. Where GeoNames has the subdivision (seven digits) its first four are the division's.
    #canadian(first, second) {
        const region = this.regionOfGeoNames.get(`CA.${first}`);
        if (region === undefined) return undefined;
        const division = second.length === 7 ? second.slice(0, 4) : second;
        const numbered = { '01': '48', 11: '47', '03': '46', '05': '10' }[first];
        let name = this.#geoNames.get(`CA.${first}.${division}`)?.replace(/^Toronto county$/, 'Toronto');
        if (
            name === undefined &&
            numbered !== undefined &&
            division.length === 4 &&
            division.startsWith(numbered)
        )
            name = `Division No. ${Number(division.slice(2))}`;
        if (name === undefined) return undefined;
        const code = division.length === 4 ? division : '';
        return this.#area(`CA ${first} ${division}`, () => ({ kind: kCounty, code, name, parent: region }));
    }

    #mexican(first, second) {
        const region = this.regionOfGeoNames.get(`MX.${first}`);
        const name = this.#geoNames.get(`MX.${first}.${second}`);
        if (region === undefined || name === undefined) return undefined;
        const state = kInegi.indexOf(this.list[region].code.slice(3)) + 1;
        const code = String(state).padStart(2, '0') + second;
        return this.#area(`MX ${code}`, () => ({ kind: kCounty, code, name, parent: region }));
    }

    countryOf(area) {
        while (this.list[area].kind !== kCountry) area = this.list[area].parent;
        return area;
    }
}
