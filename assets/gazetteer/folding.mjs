// Letters without their accents, so that "Pena" finds "Peña". The table goes into the file: the reader has none of
// its own.

const kLigatures = {
    ß: 'ss',
    æ: 'ae',
    œ: 'oe',
    ø: 'o',
    đ: 'd',
    ð: 'd',
    ł: 'l',
    þ: 'th',
    ħ: 'h',
    ı: 'i',
    ĳ: 'ij',
    ŋ: 'n',
    ŧ: 't',
    ĸ: 'k',
    ə: 'e',
    ƙ: 'k',
    ɓ: 'b',
    ɗ: 'd',
    ƴ: 'y',
    ʻ: '',
    ʼ: '',
    '‘': '',
    '’': '',
    '′': '',
    '`': '',
    '–': ' ',
    '—': ' ',
};

/// [[code point, one or two ASCII letters or nothing], ...] for what isn't ASCII, in order.
export function foldTable() {
    const table = [];
    for (let code = 0x80; code < 0x2100; ++code) {
        const lower = String.fromCodePoint(code).toLowerCase();
        const plain = [...lower.normalize('NFD')]
            .map((c) => kLigatures[c] ?? c)
            .join('')
            .replace(/\p{M}/gu, '');
        const isMark = /^\p{M}$/u.test(String.fromCodePoint(code));
        if (
            isMark ||
            (plain.length <= 2 && /^[a-z ]*$/.test(plain) && (plain !== '' || kLigatures[lower] === ''))
        )
            table.push([code, isMark ? '' : plain]);
    }
    return table;
}

const kTable = new Map(foldTable());

/// As the reader folds: accents off, lower case, apostrophes and points gone, other signs to single blanks.
export function folded(name) {
    let out = '';
    for (const c of name) {
        const code = c.codePointAt(0);
        const plain = code < 0x80 ? c.toLowerCase() : (kTable.get(code) ?? c);
        for (const p of plain) {
            if (p === "'" || p === '.' || p === '`') continue;
            const isSign = p.codePointAt(0) < 0x80 && !/[a-z0-9]/.test(p);
            if (!isSign) out += p;
            else if (out !== '' && !out.endsWith(' ')) out += ' ';
        }
    }
    return out.trimEnd();
}
