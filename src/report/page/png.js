// A PNG's pixels as its file has them, by the PNG specification (second edition, ISO/IEC 15948:2004): a canvas holds
// colours multiplied by their alpha, or turned into the screen's, and each browser gives others back. What libpng refuses
// or forgives for the command is refused or forgiven here.
const PNG_CHANNELS = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 }, PNG_DEPTHS = { 0: [1, 2, 4, 8, 16], 2: [8, 16], 3: [1, 2, 4, 8], 4: [8, 16], 6: [8, 16] };
// Of each pass of Adam7, and of all pixels at once: the first column and row, and the steps from there.
const PNG_PASSES = [[0, 0, 8, 8], [4, 0, 8, 8], [0, 4, 4, 8], [2, 0, 4, 4], [0, 2, 2, 4], [1, 0, 2, 2], [0, 1, 1, 2]], PNG_WHOLE = [[0, 0, 1, 1]];

function pngCheck(good) {
    if (!good) throw new Error("This PNG picture is damaged; get the file again, or open it elsewhere and save it as PNG");
}

let pngSums; // of each byte

function pngChecksum(bytes) {
    pngSums = pngSums || Int32Array.from({ length: 256 }, (_, k) => {
        for (let bit = 0; bit < 8; bit++) k = k & 1 ? k >>> 1 ^ 0xedb88320 : k >>> 1;
        return k;
    });
    let sum = -1;
    for (let k = 0; k < bytes.length; k++) sum = pngSums[(sum ^ bytes[k]) & 255] ^ sum >>> 8; // an iterator is slow until it is compiled
    return ~sum;
}

// The first of each kind that comes before the pixels, and all of theirs. Of what need not be known a damaged one is none.
function pngChunks(bytes) {
    const numbers = new DataView(bytes.buffer, bytes.byteOffset), chunks = { IDAT: [] };
    for (let at = 8, name = ""; name !== "IEND";) {
        pngCheck(at + 12 <= bytes.length);
        const end = at + 8 + numbers.getUint32(at), body = bytes.subarray(at + 8, end), needed = !(bytes[at + 4] & 32);
        name = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
        pngCheck(end + 4 <= bytes.length && (!needed || ["IHDR", "PLTE", "IDAT", "IEND"].includes(name)));
        if (needed || ["tRNS", "pHYs", "eXIf"].includes(name)) {
            const whole = pngChecksum(bytes.subarray(at + 4, end)) === numbers.getInt32(end);
            pngCheck(whole || !needed);
            if (name === "IDAT") chunks.IDAT.push(body);
            else if (whole && !chunks.IDAT.length) chunks[name] = chunks[name] || body;
        }
        at = end + 4;
    }
    return chunks;
}

function pngHeader({ IHDR: header }) {
    pngCheck(header && header.length === 13);
    const numbers = new DataView(header.buffer, header.byteOffset), [depth, kind, packing, filters, interlace] = header.subarray(8);
    const width = numbers.getUint32(0), height = numbers.getUint32(4);
    pngCheck(width && height && PNG_CHANNELS[kind] && PNG_DEPTHS[kind].includes(depth) && !packing && !filters && interlace < 2);
    return { width, height, depth, kind, channels: PNG_CHANNELS[kind], passes: interlace ? PNG_PASSES : PNG_WHOLE };
}

function pngPalette({ PLTE: colours, tRNS: alphas = [] }, depth) {
    pngCheck(colours && colours.length && colours.length % 3 === 0);
    const count = Math.min(colours.length / 3, 1 << depth);
    return Uint8Array.from({ length: 4 * count }, (_, k) => k % 4 < 3 ? colours[3 * (k >> 2) + k % 4] : alphas.length <= count && k >> 2 < alphas.length ? alphas[k >> 2] : 255);
}

// The colour that stands for transparency, in the file's levels.
function pngClear({ tRNS: clear }, { kind, depth }) {
    const wanted = { 0: 1, 2: 3 }[kind];
    return clear && clear.length === 2 * wanted && [0, 1, 2].map((k) => (clear[2 * (k % wanted)] << 8 | clear[2 * (k % wanted) + 1]) & (1 << depth) - 1);
}

// Pixels to an inch, 0 where they are not stated.
function pngInch({ pHYs: stated }) {
    if (!stated || stated.length !== 9 || stated[8] !== 1) return 0;
    const [x, y] = [0, 4].map((at) => new DataView(stated.buffer, stated.byteOffset).getUint32(at));
    return x === y ? x * 25.4 / 1000 : 0;
}

// The checksum of a zlib stream (RFC 1950).
function pngAdler(bytes) {
    let a = 1, b = 0;
    for (const byte of bytes) {
        a = (a + byte) % 65521;
        b = (b + a) % 65521;
    }
    return b * 65536 + a;
}

// Where the browser finds fault with what comes after the end, or has no such stream.
async function pngInflatedHere(parts, length) {
    const packed = new Uint8Array(await new Blob(parts).arrayBuffer()).subarray(2);
    try {
        const { bytes, end } = inflate(packed, length);
        pngCheck(bytes.length === length && (!end || new DataView(packed.buffer, packed.byteOffset).getUint32(end) === pngAdler(bytes)));
        return bytes;
    } catch {
        pngCheck(false);
    }
}

// The first bytes of a zlib stream, whatever comes after them.
async function pngInflated(parts, length) {
    const out = new Uint8Array(length);
    let size = 0;
    try {
        const stream = new DecompressionStream("deflate"), packed = stream.writable.getWriter(), reader = stream.readable.getReader();
        for (const written of [...parts.map((part) => packed.write(part)), packed.close()]) written.catch(() => {}); // told to who reads
        for (let part; size < length && (part = (await reader.read()).value); size += part.length) out.set(part.subarray(0, length - size), size);
        pngCheck(size >= length);
        return out;
    } catch {
        return pngInflatedHere(parts, length);
    }
}

// Of the neighbours to the left, above and between, the one that is nearest to what they lead to expect.
function pngPaeth(a, b, c) {
    const left = Math.abs(b - c), above = Math.abs(a - c), between = Math.abs(a + b - 2 * c);
    return left <= above && left <= between ? a : above <= between ? b : c;
}

// Adds to a row what its filter took from it; `step`: bytes from a pixel to the next.
function pngUnfilter(filter, row, before, step) {
    pngCheck(filter < 5);
    if (filter === 1) for (let k = step; k < row.length; k++) row[k] += row[k - step];
    if (filter === 2) for (let k = 0; k < row.length; k++) row[k] += before[k];
    if (filter === 3) for (let k = 0; k < row.length; k++) row[k] += (k < step ? 0 : row[k - step]) + before[k] >> 1;
    if (filter === 4) for (let k = 0; k < row.length; k++) row[k] += k < step ? before[k] : pngPaeth(row[k - step], before[k], before[k - step]);
}

// A function that puts a row's pixels into an array of red, green, blue and alpha: from that place on, and so far apart.
function pngPutter({ depth, kind, channels }, palette, clear) {
    const most = (1 << depth) - 1, last = kind & 4 ? channels - 1 : 0, [green, blue] = kind & 2 ? [1, 2] : [0, 0];
    const level = depth === 16 ? (row, k) => row[2 * k] << 8 | row[2 * k + 1]
        : depth === 8 ? (row, k) => row[k] : (row, k) => row[k * depth >> 3] >> 8 - depth - (k * depth & 7) & most;
    const byte = depth === 16 ? (value) => value * 255 + 32895 >>> 16 : (value) => value * 255 / most;
    const indexed = (row, count, out, at, apart) => {
        for (let k = 0; k < count; k++, at += apart) {
            const index = 4 * level(row, k);
            pngCheck(index < palette.length);
            for (let part = 0; part < 4; part++) out[at + part] = palette[index + part];
        }
    };
    const asTheyAre = (row, count, out, at, apart) => {
        if (apart === 4) out.set(row, at);
        else for (let k = 0; k < row.length; k += 4, at += apart) out.set(row.subarray(k, k + 4), at);
    };
    if (depth === 8 && channels === 4) return asTheyAre;
    return palette ? indexed : (row, count, out, at, apart) => {
        for (let k = 0; k < count * channels; k += channels, at += apart) {
            const r = level(row, k), g = level(row, k + green), b = level(row, k + blue);
            out[at] = byte(r);
            out[at + 1] = byte(g);
            out[at + 2] = byte(b);
            out[at + 3] = last ? byte(level(row, k + last)) : clear && r === clear[0] && g === clear[1] && b === clear[2] ? 0 : 255;
        }
    };
}

// `check`: throws where so many pixels are too many.
async function readPng(bytes, check) {
    const chunks = pngChunks(bytes), header = pngHeader(chunks), { width, height, depth, kind, channels, passes } = header;
    check(width, height);
    const put = pngPutter(header, kind === 3 ? pngPalette(chunks, depth) : null, pngClear(chunks, header)), bits = depth * channels, step = Math.max(1, bits >> 3);
    const parts = passes.map(([x, y, dx, dy]) => ({ x, y, dx, dy, count: Math.ceil((width - x) / dx), high: Math.ceil((height - y) / dy) })).filter(({ count, high }) => count > 0 && high > 0);
    const sizes = parts.map(({ count }) => 1 + Math.ceil(count * bits / 8));
    const rows = await pngInflated(chunks.IDAT, parts.reduce((sum, { high }, k) => sum + high * sizes[k], 0));
    const same = passes === PNG_WHOLE && depth === 8 && channels === 4, pixels = same ? rows : new Uint8Array(4 * width * height); // new memory takes as long as the pixels
    let at = 0;
    for (const [part, { x, y, dx, dy, count }] of parts.entries()) {
        for (let line = y, before = new Uint8Array(sizes[part] - 1); line < height; line += dy, at += sizes[part]) {
            const row = rows.subarray(at + 1, at + sizes[part]);
            pngUnfilter(rows[at], row, before, step);
            const first = 4 * (line * width + x);
            put(row, count, pixels, first, 4 * dx);
            before = same ? pixels.subarray(first, first + row.length) : row;
        }
    }
    return { pixels: pixels.subarray(0, 4 * width * height), width, height, ppi: pngInch(chunks), exif: (chunks.eXIf || new Uint8Array(0)).slice(), coarse: false };
}
