// The bytes of the file, as DEVELOPERS.md has them ("The gazetteer's file, on one page").

import { createHash } from 'node:crypto';
import { foldTable, folded } from './folding.mjs';
import { kCell, kColumns, kRows, cellOf } from './grid.mjs';

const kMagic = 'DISCALGZ';
const kVersion = 1;
const kHeaderBytes = 88;
const kChunkPoints = 64;
const kMostExtent = 0xffff;
const kNamesPerBlock = 16;
const kNothing = 0xffffff,
    kWhole = 0x800000,
    kWholeInList = 0x8000;

class Bytes {
    #buffer = Buffer.alloc(1 << 16);
    length = 0;
    #room(n) {
        if (this.length + n > this.#buffer.length) {
            const larger = Buffer.alloc(Math.max(2 * this.#buffer.length, this.length + n));
            this.#buffer.copy(larger);
            this.#buffer = larger;
        }
        this.length += n;
        return this.length - n;
    }
    u8(v) {
        const at = this.#room(1);
        this.#buffer.writeUInt8(v, at);
    }
    u16(v) {
        const at = this.#room(2);
        this.#buffer.writeUInt16LE(v, at);
    }
    i16(v) {
        const at = this.#room(2);
        this.#buffer.writeInt16LE(v, at);
    }
    u24(v) {
        const at = this.#room(3);
        this.#buffer.writeUIntLE(v, at, 3);
    }
    u32(v) {
        const at = this.#room(4);
        this.#buffer.writeUInt32LE(v >>> 0, at);
    }
    varint(v) {
        for (; v >= 0x80; v = Math.floor(v / 128)) this.u8((v % 128) + 128);
        this.u8(v);
    }
    zigzag(v) {
        this.varint(v < 0 ? -2 * v - 1 : 2 * v);
    }
    text(s) {
        this.bytes(Buffer.from(s));
    }
    bytes(b) {
        const at = this.#room(b.length);
        b.copy(this.#buffer, at);
    }
    get all() {
        return this.#buffer.subarray(0, this.length);
    }
}

function areaSections(areas, arcLists) {
    const strings = new Bytes(),
        records = new Bytes(),
        refs = new Bytes();
    areas.forEach((area, index) => {
        const name = Buffer.from(area.name),
            code = Buffer.from(area.code);
        records.u32(strings.length);
        records.u8(name.length);
        records.u8(code.length);
        records.u8(area.kind);
        records.u8(area.isCoarse ? 1 : 0);
        records.u16(area.parent);
        records.u16(0);
        records.u32(refs.length);
        strings.bytes(name);
        strings.bytes(code);
        let before = 0;
        for (const arc of arcLists[index] ?? []) {
            refs.varint(arc - before);
            before = arc;
        }
    });
    return { strings, records, refs };
}

/// Points put in where an edge is longer than a chunk may be.
function withoutLongEdges(points) {
    const out = [points[0], points[1]];
    for (let i = 2; i < points.length; i += 2) {
        const dx = points[i] - points[i - 2],
            dy = points[i + 1] - points[i - 1];
        const parts = Math.ceil(Math.max(Math.abs(dx), Math.abs(dy)) / kMostExtent);
        for (let k = 1; k <= parts; ++k)
            out.push(
                Math.round(points[i - 2] + (dx * k) / parts),
                Math.round(points[i - 1] + (dy * k) / parts),
            );
    }
    return out;
}

function arcSections(arcs) {
    const records = new Bytes(),
        chunks = new Bytes(),
        points = new Bytes();
    let chunkCount = 0;
    for (const { points: line, areas } of arcs) {
        const p = withoutLongEdges(line);
        records.u24(chunkCount);
        records.u16(areas[0]);
        records.u16(areas[1] ?? 0xffff);
        const n = p.length / 2;
        for (let from = 0, to; from < n - 1; from = to) {
            let west = p[2 * from],
                east = west,
                south = p[2 * from + 1],
                north = south;
            for (to = from; to + 1 < n && to - from + 1 < kChunkPoints; ++to) {
                const w = Math.min(west, p[2 * to + 2]),
                    e = Math.max(east, p[2 * to + 2]);
                const s = Math.min(south, p[2 * to + 3]),
                    h = Math.max(north, p[2 * to + 3]);
                if (to > from && (e - w > kMostExtent || h - s > kMostExtent)) break;
                [west, east, south, north] = [w, e, s, h];
            }
            chunks.u24(west + 1800000);
            chunks.u24(south + 900000);
            chunks.u16(east - west);
            chunks.u16(north - south);
            chunks.u24(points.length);
            points.u8(to - from + 1);
            points.varint(p[2 * from] - west);
            points.varint(p[2 * from + 1] - south);
            for (let i = from + 1; i <= to; ++i) {
                points.zigzag(p[2 * i] - p[2 * i - 2]);
                points.zigzag(p[2 * i + 1] - p[2 * i - 1]);
            }
            ++chunkCount;
        }
    }
    return { records, chunks, points };
}

function gridSections(cells, areas) {
    const rows = new Bytes(),
        runs = new Bytes(),
        lists = new Bytes();
    const known = new Map();
    const contentOf = (cell) => {
        if (cell === undefined) return kNothing;
        // Where a county fills the cell, coarser polygons of the same country have nothing to add.
        const fills = cell.find(({ area, isWhole }) => isWhole && !areas[area].isCoarse);
        const useful =
            fills === undefined
                ? cell
                : cell.filter(({ area, isWhole }) => !(areas[area].isCoarse && isWhole));
        if (useful.length === 1 && useful[0].isWhole) return kWhole | useful[0].area;
        const entries = [...useful]
            .sort((a, b) => areas[b.area].kind - areas[a.area].kind || a.area - b.area)
            .map(({ area, isWhole }) => area | (isWhole ? kWholeInList : 0));
        const key = entries.join();
        if (!known.has(key)) {
            known.set(key, lists.length / 2);
            lists.u16(entries.length);
            entries.forEach((e) => lists.u16(e));
        }
        return known.get(key);
    };
    let count = 0;
    for (let row = 0; row < kRows; ++row) {
        rows.u32(count);
        let before;
        for (let column = 0; column < kColumns; ++column) {
            const content = contentOf(cells[row * kColumns + column]);
            if (content === before) continue;
            runs.u16(column);
            runs.u24(content);
            before = content;
            ++count;
        }
    }
    rows.u32(count);
    return { rows, runs, lists };
}

/// Names in the order of their folded form; neighbours share their beginnings.
function nameSections(names) {
    const blocks = new Bytes(),
        bytes = new Bytes();
    names.forEach((name, index) => {
        const now = Buffer.from(name);
        let shared = 0;
        if (index % kNamesPerBlock === 0) {
            blocks.u24(bytes.length);
        } else {
            const before = Buffer.from(names[index - 1]);
            while (shared < Math.min(now.length, before.length, 255) && now[shared] === before[shared])
                ++shared;
            bytes.u8(shared);
        }
        bytes.u8(now.length - shared);
        bytes.bytes(now.subarray(shared));
    });
    return { blocks, bytes };
}

function townSections(towns, nameIds) {
    const rows = new Bytes(),
        cells = new Bytes(),
        records = new Bytes();
    const sorted = towns
        .map((t) => ({ t, cell: cellOf(t.x, t.y) }))
        .sort((a, b) => a.cell - b.cell || a.t.y - b.t.y || a.t.x - b.t.x);
    let row = 0,
        cellCount = 0,
        before = -1;
    sorted.forEach(({ t, cell }, index) => {
        for (; row <= Math.floor(cell / kColumns); ++row) rows.u32(cellCount);
        if (cell !== before) {
            cells.u16(cell % kColumns);
            cells.u32(index);
            ++cellCount;
            before = cell;
        }
        const dx = t.x + 1800000 - (cell % kColumns) * kCell,
            dy = t.y + 900000 - Math.floor(cell / kColumns) * kCell;
        records.u24(dx + dy * 4096);
        records.u24(nameIds.get(t.name));
        records.u16(t.area);
        records.u8(
            (t.people > 0 ? Math.min(127, Math.max(1, Math.round(16 * Math.log10(t.people)))) : 0) |
                (t.isSection ? 0x80 : 0),
        );
        records.i16(t.elevation ?? -32768);
    });
    for (; row <= kRows; ++row) rows.u32(cellCount);
    return { rows, cells, records };
}

function foldSection() {
    const bytes = new Bytes();
    for (const [code, plain] of foldTable()) {
        bytes.u16(code);
        bytes.u8(plain.length > 0 ? plain.charCodeAt(0) : 0);
        bytes.u8(plain.length > 1 ? plain.charCodeAt(1) : 0);
    }
    return bytes;
}

export function fileOf({ edition, areas, arcs, arcLists, cells, towns }) {
    const inOrder = (a, b) => (a < b ? -1 : a > b ? 1 : 0);
    const foldedNames = new Map(
        [...new Set(towns.map((t) => t.name))].map((name) => [name, Buffer.from(folded(name))]),
    );
    const names = [...foldedNames.keys()].sort(
        (a, b) => Buffer.compare(foldedNames.get(a), foldedNames.get(b)) || inOrder(a, b),
    );
    const nameIds = new Map(names.map((name, index) => [name, index]));
    const a = areaSections(areas, arcLists),
        l = arcSections(arcs),
        g = gridSections(cells, areas);
    const n = nameSections(names),
        t = townSections(towns, nameIds);
    const editionText = new Bytes();
    editionText.text(edition);
    const sections = [
        editionText,
        a.strings,
        a.records,
        a.refs,
        l.records,
        l.chunks,
        l.points,
        g.rows,
        g.runs,
        g.lists,
        t.rows,
        t.cells,
        t.records,
        n.blocks,
        n.bytes,
        foldSection(),
    ];
    const body = new Bytes();
    let at = kHeaderBytes + 8 * sections.length;
    for (const section of sections) {
        body.u32(at);
        body.u32(section.length);
        at += section.length;
    }
    for (const section of sections) body.bytes(section.all);
    const head = new Bytes();
    head.text(kMagic);
    head.u32(kVersion);
    head.u32(sections.length);
    head.u32(at);
    head.u32(names.length);
    const sum = createHash('blake2b512').update(head.all).update(body.all).digest();
    return { bytes: Buffer.concat([head.all, sum, body.all]), sizes: sections.map((s) => s.length) };
}
