// The page's code and what it is about travel deflated, in letters as page_packed.c has them. Browsers of 2023 and later inflate them by
// themselves; for the others there is the method of RFC 1951 (Deutsch, 1996) in its shortest form.
function bytesOf(base64) {
    return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}

function bytesOfLetters(text) {
    const out = new Uint8Array((text.length >> 1) * 13 + (text.length % 2) * 6 >> 3);
    const value = (at) => {
        const code = text.charCodeAt(at);
        return code - 33 - (code > 34) - (code > 60) - (code > 92);
    };
    for (let at = 0, size = 0, held = 0, count = 0; at < text.length; at += 2) {
        const pair = at + 1 < text.length;
        held |= (value(at) + (pair ? 91 * value(at + 1) : 0)) << count;
        count += pair ? 13 : 6;
        for (; count >= 8; count -= 8, held >>>= 8) out[size++] = held & 255;
    }
    return out;
}

// For each code length how many codes there are, and the symbols in the order of their codes.
function codeTable(lengths) {
    const counts = new Uint16Array(16), starts = new Uint16Array(16), symbols = new Uint16Array(lengths.length);
    for (const length of lengths) counts[length]++;
    counts[0] = 0;
    for (let k = 1; k < 16; k++) starts[k] = starts[k - 1] + counts[k - 1];
    lengths.forEach((length, symbol) => { if (length) symbols[starts[length]++] = symbol; });
    return { counts, symbols };
}

// `most`: no more is wanted. end: where what comes after the data begins, 0 where that was not reached.
function inflate(data, most = Infinity) {
    const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
    let out = new Uint8Array(8 * data.length), size = 0, at = 0, held = 0, count = 0;
    const bits = (wanted) => {
        while (count < wanted) {
            if (at >= data.length) throw new Error("the data ends too early");
            held |= data[at++] << count;
            count += 8;
        }
        const value = held & ((1 << wanted) - 1);
        held >>>= wanted;
        count -= wanted;
        return value;
    };
    const symbol = ({ counts, symbols }) => {
        for (let code = 0, first = 0, index = 0, length = 1; length < 16; length++) {
            code |= bits(1);
            if (code - first < counts[length]) return symbols[index + code - first];
            index += counts[length];
            first = (first + counts[length]) << 1;
            code <<= 1;
        }
        throw new Error("the data is damaged");
    };
    const put = (byte) => {
        if (size === out.length) {
            const more = new Uint8Array(2 * size);
            more.set(out);
            out = more;
        }
        out[size++] = byte;
    };
    const stored = () => {
        held = count = 0;
        const length = data[at] | data[at + 1] << 8;
        at += 4;
        if (at + length > data.length) throw new Error("the data ends too early");
        for (let k = 0; k < length; k++) put(data[at++]);
    };
    const usual = () => [Array.from({ length: 288 }, (_, k) => k < 144 ? 8 : k < 256 ? 9 : k < 280 ? 7 : 8), Array(30).fill(5)];
    const told = () => {
        const literals = bits(5) + 257, distances = bits(5) + 1, codes = bits(4) + 4, lengths = Array(19).fill(0), all = [];
        for (let k = 0; k < codes; k++) lengths[ORDER[k]] = bits(3);
        const table = codeTable(lengths);
        while (all.length < literals + distances) {
            const next = symbol(table);
            if (next < 16) all.push(next);
            else {
                const [value, times] = next === 16 ? [all[all.length - 1], 3 + bits(2)] : [0, next === 17 ? 3 + bits(3) : 11 + bits(7)];
                for (let k = 0; k < times; k++) all.push(value);
            }
        }
        return [all.slice(0, literals), all.slice(literals)];
    };
    const block = ([literals, distances]) => {
        const texts = codeTable(literals), ways = codeTable(distances);
        for (let next = symbol(texts); next !== 256 && size <= most; next = symbol(texts)) {
            if (next < 256) {
                put(next);
                continue;
            }
            const k = next - 257, more = k < 8 || k === 28 ? 0 : (k >> 2) - 1;
            const length = k === 28 ? 258 : k < 8 ? 3 + k : ((4 + (k & 3)) << more) + 3 + bits(more);
            const far = symbol(ways), wide = far < 4 ? 0 : (far >> 1) - 1;
            const back = far < 4 ? 1 + far : ((2 + (far & 1)) << wide) + 1 + bits(wide);
            if (back > size) throw new Error("the data is damaged");
            for (let n = 0; n < length; n++) put(out[size - back]);
        }
    };
    let last = 0;
    while (!last && size <= most) {
        last = bits(1);
        const kind = bits(2);
        if (kind === 3) throw new Error("the data is damaged");
        if (kind === 0) stored();
        else block(kind === 1 ? usual() : told());
    }
    return { bytes: out.slice(0, Math.min(size, most)), end: size > most ? 0 : at };
}

async function unpacked(letters) {
    const bytes = bytesOfLetters(letters);
    try {
        const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
        return new Uint8Array(await new Response(stream).arrayBuffer());
    } catch {
        return inflate(bytes).bytes;
    }
}

// What the page is about: JSON, then the art's file, then the outlines' numbers as they are, to the last bit.
function dataOf(bytes) {
    const end = bytes.indexOf(0);
    const data = JSON.parse(new TextDecoder().decode(bytes.subarray(0, end)));
    const [from, to] = [end + 1, end + 1 + data.bytes];
    return Object.assign(data, { bytes: bytes.slice(from, to), drawing: to < bytes.length ? new Float64Array(bytes.slice(to).buffer) : null });
}

let written = null; // null: no art yet
(async () => {
    const [code, data] = await Promise.all(["code", "data"].map((id) => document.getElementById(id).textContent).map((letters) => letters && unpacked(letters)));
    if (data) written = dataOf(data);
    document.body.append(Object.assign(document.createElement("script"), { textContent: new TextDecoder().decode(code) }));
})().catch(() => rescue("This browser cannot run this page."));
document.documentElement.dataset.starts = "";
