// The fit: the same C sources as the command's, compiled to WebAssembly, in a worker of its own.
// engine.c beside this file documents the arrays of numbers that go in and come out.
function engineWorker() {
    const HEAD = 16, SPOT = 18, STEP = 7;
    const WORDS = ["verdict", "subject", "counts", "doubts"], ERROR = 4;
    const SPOTS_TOLD = 200;
    let wasm = null, page = 0, pieces = 0;

    const text = (at) => {
        const bytes = new Uint8Array(wasm.memory.buffer, at);
        return new TextDecoder().decode(bytes.subarray(0, bytes.indexOf(0)));
    };
    const must = (status) => {
        if (status) throw new Error(text(wasm.page_words(page, ERROR)));
    };
    const room = (bytes) => {
        const at = wasm.page_alloc(bytes);
        if (!at) throw new Error("not enough memory");
        return at;
    };

    const start = async ({ bytes, art, inch, size, drawing, pieceCount }) => {
        // The engine asks its system for nothing that matters here: every call answers 0.
        const nothing = new Proxy({}, { get: () => () => 0 });
        const made = await WebAssembly.instantiate(bytes, { wasi_snapshot_preview1: nothing });
        wasm = made.instance.exports;
        wasm._initialize();
        page = wasm.page_new();
        pieces = pieceCount;
        const name = new TextEncoder().encode(art);
        const nameAt = room(name.length + 1), numbersAt = room(8 * drawing.length);
        new Uint8Array(wasm.memory.buffer, nameAt, name.length).set(name);
        new Float64Array(wasm.memory.buffer, numbersAt, drawing.length).set(drawing);
        must(wasm.page_load(page, nameAt, inch, size[0], size[1], numbersAt, drawing.length));
        wasm.page_release(numbersAt);
    };

    const shapeOnce = (factor, off) => {
        const at = room(pieces);
        const keep = new Uint8Array(wasm.memory.buffer, at, pieces).fill(1);
        for (const piece of off) keep[piece] = 0;
        const status = wasm.page_shape(page, factor, at, pieces);
        wasm.page_release(at);
        must(status);
        return Array.from(new Float64Array(wasm.memory.buffer, wasm.page_shape_result(page), 4));
    };

    // The art is `factor` times the size that was checked, or so that what is kept is `wide`. With
    // `round`, what is left after pieces went gets a width that can be written down.
    const shape = ({ off, factor, wide, round, whole }) => {
        let [x, y, width, height] = shapeOnce(1, off);
        const changed = width !== whole[0] || height !== whole[1];
        if (round && changed) wide = Number((width * factor).toFixed(4));
        if (wide) factor = wide / width;
        if (factor !== 1) [x, y, width, height] = shapeOnce(factor, off);
        return { corner: [x, y], size: [wide || width, height], factor, wide: wide || null };
    };

    const readPaths = (numbers, at, count) => {
        const paths = [];
        for (let k = 0; k < count; k++) {
            const steps = numbers[at + 2];
            const path = { x: numbers[at + 3], y: numbers[at + 4], steps: [] };
            at += 5;
            for (let i = 0; i < steps; i++, at += STEP) path.steps.push(Array.from(numbers.subarray(at, at + STEP)));
            paths.push(path);
        }
        return [paths, at];
    };

    const readSpot = (n, index) => ({
        side: n[0] ? "neck" : "gap", form: ["pinch", "stub", "miss"][n[1]], at: [n[2], n[3]],
        width: n[4], length: n[5], depth: n[6], area: n[7], widen: n[8], from: [n[9], n[10]],
        to: [n[11], n[12]], stuck: [n[13], n[14]], residue: n[15], residues: n[16],
        words: index < SPOTS_TOLD ? text(wasm.page_spot_words(page, index)) : "",
    });

    const fit = ({ cut, bit, neck, blunt, fromStock, sheet }) => {
        const began = performance.now();
        must(wasm.page_fit(page, cut, bit, neck, blunt, fromStock, ...sheet));
        const numbers = new Float64Array(wasm.memory.buffer, wasm.page_result(page), wasm.page_result_length(page)).slice();
        const spotCount = numbers[3], liftCount = numbers[4];
        const result = { fits: numbers[0] > 0, narrowestGap: numbers[1], narrowestNeck: numbers[2],
            corners: { count: numbers[5], deepest: numbers[6], area: numbers[7] },
            area: { cut: numbers[8], reached: numbers[9], unreached: numbers[10] }, spots: [], lifts: [] };
        let at = HEAD;
        for (let k = 0; k < spotCount; k++, at += SPOT) result.spots.push(readSpot(numbers.subarray(at, at + SPOT), k));
        for (let k = 0; k < liftCount; k++, at += 3) {
            result.lifts.push({ at: [numbers[at], numbers[at + 1]], width: numbers[at + 2] });
        }
        [result.residues, at] = readPaths(numbers, at, numbers[12]);
        [result.cornerResidues, at] = readPaths(numbers, at, numbers[13]);
        [result.path] = readPaths(numbers, at, numbers[14]);
        WORDS.forEach((name, which) => { result[name] = text(wasm.page_words(page, which)); });
        result.milliseconds = performance.now() - began;
        return { result, cut, bit, neck };
    };

    const disc = ({ cut, x, y, limit }) => {
        const at = wasm.page_disc(page, cut, x, y, limit);
        if (!at) return { disc: null };
        const n = new Float64Array(wasm.memory.buffer, at, 5);
        return { disc: { at: [n[0], n[1]], normal: [n[2], n[3]], radius: n[4], open: n[4] >= limit } };
    };

    const does = { start, shape, fit, disc, marked: () => ({ svg: text(wasm.page_marked(page)) }) };
    self.onmessage = async ({ data: ask }) => {
        try {
            self.postMessage({ what: ask.what, ...(await does[ask.what](ask)) });
        } catch (error) {
            self.postMessage({ what: "failed", message: error.message });
        }
    };
}

// Questions go to the worker one at a time. Of those that wait only the newest of a kind is kept,
// so that a slider that moves fast never queues up work.
class Engine {
    constructor(base64, art, answer) {
        const source = new Blob([`(${engineWorker})();`], { type: "text/javascript" });
        this.worker = new Worker(URL.createObjectURL(source));
        this.waiting = new Map();
        this.busy = false;
        this.worker.onmessage = ({ data }) => {
            this.busy = false;
            answer(data);
            this.next();
        };
        this.ask({ what: "start", bytes: bytesOf(base64), ...art });
    }

    ask(question) {
        this.waiting.set(question.what, question);
        this.next();
    }

    next() {
        if (this.busy) return;
        const what = ["start", "shape", "fit", "disc", "marked"].find((kind) => this.waiting.has(kind));
        if (!what) return;
        this.busy = true;
        this.worker.postMessage(this.waiting.get(what));
        this.waiting.delete(what);
    }
}

function bytesOf(base64) {
    return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}

function doublesOf(base64) {
    return new Float64Array(bytesOf(base64).buffer);
}
