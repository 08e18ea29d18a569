// The page's code and its engine travel as LZMA, a ninth shorter than deflated, which browsers do not expand by themselves: the method of
// the LZMA specification (Pavlov, 2015) for lc 3, lp 0 and pb 0, as embed.py packs them, up to the mark that ends it.
function expand(data) {
    // Where in the table of odds each kind of bit has its own.
    const MATCH = 0, REP = 12, FIRST = 24, SECOND = 36, THIRD = 48, ONE = 60, SLOT = 72, SPECIAL = 328, ALIGN = 443, LENGTH = 459, AGAIN = 733, LITERAL = 1007;
    const odds = new Uint16Array(LITERAL + 8 * 768).fill(1024), coder = new Uint32Array([2 ** 32 - 1, 0]); // range and code
    let out = new Uint8Array(8 * data.length), size = 0, at = 1, state = 0, reps = [0, 0, 0, 0];
    while (at < 5) coder[1] = coder[1] << 8 | data[at++];
    const settle = () => {
        if (coder[0] >= 1 << 24) return;
        if (at >= data.length) throw new Error("the data ends too early");
        coder[0] <<= 8;
        coder[1] = coder[1] << 8 | data[at++];
    };
    const bit = (index) => {
        const odd = odds[index], bound = (coder[0] >>> 11) * odd, one = coder[1] >= bound;
        if (one) {
            coder[0] -= bound;
            coder[1] -= bound;
            odds[index] -= odd >> 5;
        } else {
            coder[0] = bound;
            odds[index] += 2048 - odd >> 5;
        }
        settle();
        return one ? 1 : 0;
    };
    const tree = (base, bits) => {
        let m = 1;
        for (let k = 0; k < bits; k++) m = 2 * m + bit(base + m);
        return m - (1 << bits);
    };
    const lowestFirst = (base, bits) => {
        let m = 1, value = 0;
        for (let k = 0; k < bits; k++) {
            const next = bit(base + m);
            m = 2 * m + next;
            value += next << k;
        }
        return value;
    };
    const even = (bits) => { // as likely 0 as 1
        let value = 0;
        for (; bits > 0; bits--) {
            coder[0] >>>= 1;
            const one = coder[1] >= coder[0] ? 1 : 0;
            coder[1] -= one * coder[0];
            value = 2 * value + one;
            settle();
        }
        return value;
    };
    const length = (base) => !bit(base) ? 2 + tree(base + 2, 3) : !bit(base + 1) ? 10 + tree(base + 10, 3) : 18 + tree(base + 18, 8);
    const distance = (slot) => {
        if (slot < 4) return slot;
        const more = (slot >> 1) - 1, from = (2 + slot % 2) * 2 ** more;
        return from + (slot < 14 ? lowestFirst(SPECIAL + from - slot, more) : 16 * even(more - 4) + lowestFirst(ALIGN, 4));
    };
    const put = (byte) => {
        if (size === out.length) {
            const more = new Uint8Array(2 * size);
            more.set(out);
            out = more;
        }
        out[size++] = byte;
    };
    const literal = () => {
        const base = LITERAL + 768 * ((size ? out[size - 1] : 0) >> 5);
        let m = 1, like = state < 7 ? 0 : 256 + out[size - reps[0] - 1]; // what would have come next is its guide as far as it is the same
        while (m < 256) {
            if (like) {
                const guess = like >> 7 & 1, next = bit(base + 256 + 256 * guess + m);
                like = next === guess ? 256 + 2 * (like & 127) : 0;
                m = 2 * m + next;
            } else m = 2 * m + bit(base + m);
        }
        put(m & 255);
        state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
    };
    while (true) {
        if (!bit(MATCH + state)) {
            literal();
            continue;
        }
        const late = state < 7 ? 0 : 3;
        let count = 1;
        if (!bit(REP + state)) {
            count = length(LENGTH);
            state = 7 + late;
            reps = [distance(tree(SLOT + 64 * Math.min(count - 2, 3), 6)), ...reps.slice(0, 3)];
            if (reps[0] === 2 ** 32 - 1) return out.slice(0, size);
        } else {
            const which = !bit(FIRST + state) ? 0 : !bit(SECOND + state) ? 1 : 2 + bit(THIRD + state);
            if (which === 0 && !bit(ONE + state)) state = late ? 11 : 9;
            else {
                count = length(AGAIN);
                state = 8 + late;
                reps = [reps[which], ...reps.filter((_, k) => k !== which)];
            }
        }
        if (reps[0] >= size) throw new Error("the data is damaged");
        for (; count > 0; count--) put(out[size - reps[0] - 1]);
    }
}
