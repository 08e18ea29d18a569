// The fit: the same C sources as the command's, compiled to WebAssembly, in a worker of its own.
// engine.c beside this file documents the arrays of numbers that go in and come out. Shapes leave
// the worker as the path data that SVG takes, so that the page itself has nothing to compute.
function engineWorker() {
    const HEAD = 16, SPOT = 18, STEP = 7, PLACES = 1e4, WAYS = 3;
    const WORDS = ["verdict", "subject", "counts", "doubts"], ERROR = 4;
    const SPOTS_TOLD = 200;
    let wasm = null, page = 0, pieces = 0, done = "";

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
    const textIn = (words) => {
        const bytes = new TextEncoder().encode(words), at = room(bytes.length + 1);
        new Uint8Array(wasm.memory.buffer, at, bytes.length + 1).fill(0).set(bytes);
        return at;
    };
    const numbersIn = (numbers) => {
        const at = room(8 * numbers.length);
        new Float64Array(wasm.memory.buffer, at, numbers.length).set(numbers);
        return at;
    };
    const numbersOut = () => new Float64Array(wasm.memory.buffer, wasm.page_result(page), wasm.page_result_length(page));

    const start = async ({ bytes, art, inch, size, drawing, pieceCount, rack, rackNumbers }) => {
        // The engine asks its system for nothing that matters here: every call answers 0.
        const nothing = new Proxy({}, { get: () => () => 0 });
        const made = await WebAssembly.instantiate(bytes, { wasi_snapshot_preview1: nothing });
        wasm = made.instance.exports;
        wasm._initialize();
        page = wasm.page_new();
        pieces = pieceCount;
        const at = numbersIn(drawing);
        must(wasm.page_load(page, textIn(art), inch, size[0], size[1], at, drawing.length));
        wasm.page_release(at);
        must(wasm.page_rack(page, textIn(rack.map(({ name }) => `${name}\0`).join("")), numbersIn(rackNumbers), rack.length));
    };

    // ---- shapes out: numbers[at] is the first of a path ------------------------------------------

    const short = (number) => Math.round(number * PLACES) / PLACES;

    // An arc in pieces of at most two radians, for SVG's arcs are ambiguous near half a turn.
    const arcData = (x, y, n, at) => {
        const clockwise = n[at] === 3, ax = n[at + 1], ay = n[at + 2], tox = n[at + 5], toy = n[at + 6];
        const radius = Math.hypot(x - ax, y - ay), from = Math.atan2(y - ay, x - ax);
        let turn = (clockwise ? -1 : 1) * (Math.atan2(toy - ay, tox - ax) - from);
        if (x === tox && y === toy) turn = 2 * Math.PI;
        else if (turn < 0) turn += 2 * Math.PI;
        const parts = Math.max(1, Math.ceil(turn / 2)), r = short(radius);
        let data = "";
        for (let k = 1; k <= parts; k++) {
            const angle = from + (clockwise ? -1 : 1) * turn * k / parts;
            const [px, py] = k === parts ? [tox, toy] : [ax + radius * Math.cos(angle), ay + radius * Math.sin(angle)];
            data += `A${r} ${r} 0 0 ${clockwise ? 0 : 1} ${short(px)} ${short(py)}`;
        }
        return data;
    };

    // Path data of `count` paths, and where the next one begins. Ends of short steps that lie within
    // `skip` millimetres of the last that was kept are left out.
    const pathsData = (n, at, count, skip) => {
        let data = "";
        for (let k = 0; k < count; k++) {
            const last = at + 5 + STEP * (n[at + 2] - 1);
            let x = n[at + 3], y = n[at + 4];
            data += `M${short(x)} ${short(y)}`;
            for (at += 5; at <= last; at += STEP) {
                const tox = n[at + 5], toy = n[at + 6];
                const near = Math.abs(tox - x) + Math.abs(toy - y) < skip;
                if (near && at < last) continue;
                data += n[at] === 0 || near ? `L${short(tox)} ${short(toy)}` : arcData(x, y, n, at);
                [x, y] = [tox, toy];
            }
            data += "Z";
        }
        return [data, at];
    };

    // ---- what is asked ---------------------------------------------------------------------------

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
    // `round`, what is left after pieces went gets a width that can be written down in the unit.
    const shape = ({ off, factor, wide, round, unit, whole }) => {
        let [x, y, width, height] = shapeOnce(1, off);
        const changed = factor !== 1 || width !== whole[0] || height !== whole[1];
        if (round && changed && !wide) wide = Number((width * factor / unit).toFixed(4)) * unit;
        if (wide) factor = wide / width;
        if (factor !== 1) [x, y, width, height] = shapeOnce(factor, off);
        return { corner: [x, y], size: [wide || width, height], factor, wide: wide || null };
    };

    const readSpot = (n, index) => ({
        side: n[0] ? "neck" : "gap", form: ["pinch", "stub", "miss"][n[1]], at: [n[2], n[3]],
        width: n[4], length: n[5], depth: n[6], area: n[7], widen: n[8], from: [n[9], n[10]],
        to: [n[11], n[12]], stuck: [n[13], n[14]], residues: n[16],
        words: index < SPOTS_TOLD ? text(wasm.page_spot_words(page, index)) : "",
    });

    const result = (n, skip) => {
        const told = { fits: n[0] > 0, narrowestGap: n[1], narrowestNeck: n[2],
            corners: { count: n[5], deepest: n[6], area: n[7] },
            area: { cut: n[8], reached: n[9], unreached: n[10] }, spots: [], lifts: [] };
        let at = HEAD, residues = 0;
        for (let k = 0; k < n[3]; k++, at += SPOT) told.spots.push(readSpot(n.subarray(at, at + SPOT), k));
        for (let k = 0; k < n[4]; k++, at += 3) told.lifts.push({ at: [n[at], n[at + 1]], width: n[at + 2] });
        for (const spot of told.spots) {
            [spot.data, at] = pathsData(n, at, spot.residues, skip);
            residues += spot.residues;
        }
        if (residues !== n[12]) throw new Error("the engine's answer is not whole");
        [told.cornerData, at] = pathsData(n, at, n[13], skip);
        [told.wayData, at] = pathsData(n, at, n[14], skip);
        [told.reachData, at] = pathsData(n, at, n[15], skip);
        return told;
    };

    // `skip`: how coarse the shapes may be, in millimetres; numbers and words are always exact.
    const fit = ({ cut, bit, neck, blunt, fromStock, sheet, skip }) => {
        const began = performance.now();
        must(wasm.page_fit(page, cut, bit, neck, blunt, fromStock, ...sheet));
        const computed = performance.now() - began;
        const told = result(numbersOut().slice(), skip);
        WORDS.forEach((name, which) => { told[name] = text(wasm.page_words(page, which)); });
        const [count, area] = new Float64Array(wasm.memory.buffer, wasm.page_loose(page), 2);
        told.loose = { count, area };
        told.milliseconds = performance.now() - began;
        told.computed = computed;
        return { result: told, cut, bit, neck, skip };
    };

    const disc = ({ cut, x, y, limit }) => {
        const at = wasm.page_disc(page, cut, x, y, limit);
        if (!at) return { disc: null };
        const n = new Float64Array(wasm.memory.buffer, at, 5);
        return { disc: { at: [n[0], n[1]], normal: [n[2], n[3]], radius: n[4], open: n[4] >= limit } };
    };

    const tabs = ({ count, width }) => {
        must(wasm.page_tabs(page, count, width));
        const n = numbersOut();
        let at = 3, data = "";
        for (; at < n.length; at += 5 + STEP * n[at + 2]) {
            data += `M${short(n[at + 3])} ${short(n[at + 4])}L${short(n[at + 10])} ${short(n[at + 11])}`;
        }
        return { count: n[0], missing: n[1], width: n[2], data };
    };

    // ---- what takes longer, of a shape and fit of its own ----------------------------------------

    const again = (asked) => {
        const key = JSON.stringify([asked.shape, asked.fit]);
        if (key === done) return;
        done = "";
        shape(asked.shape);
        const { cut, bit, neck, blunt, fromStock, sheet } = asked.fit;
        must(wasm.page_fit(page, cut, bit, neck, blunt, fromStock, ...sheet));
        done = key;
    };

    const marked = (asked) => {
        again(asked);
        return { svg: text(wasm.page_marked(page)), answers: asked.answers };
    };

    const ways = (asked) => {
        again(asked);
        const words = asked.words.map(textIn);
        const status = wasm.page_ways(page, asked.neck, asked.stock, ...words);
        for (const at of words) wasm.page_release(at);
        must(status);
        const lines = [];
        for (let k = 0; k < WAYS; k++) lines.push([text(wasm.page_way(page, k, 0)), text(wasm.page_way(page, k, 1))]);
        return { ways: lines.filter(([line]) => line), room: text(wasm.page_way(page, -1, 0)), answers: asked.answers };
    };

    const does = { start, shape, fit, disc, tabs, marked, ways };
    self.onmessage = async ({ data: ask }) => {
        try {
            self.postMessage({ what: ask.what, ...(await does[ask.what](ask)) });
        } catch (error) {
            self.postMessage({ what: "failed", about: ask.what, message: error.message });
        }
    };
}

// Questions go to the worker one at a time. Of those that wait only the newest of a kind is kept,
// so that a slider that moves fast never queues up work.
class Engine {
    constructor(base64, art, answer) {
        const address = URL.createObjectURL(new Blob([`(${engineWorker})();`], { type: "text/javascript" }));
        this.worker = new Worker(address);
        this.waiting = new Map();
        this.busy = "";
        this.worker.onmessage = ({ data }) => {
            this.busy = "";
            answer(data);
            this.next();
        };
        this.ask({ what: "start", bytes: bytesOf(base64), ...art });
    }

    ask(question) {
        this.waiting.set(question.what, question);
        this.next();
    }

    get idle() {
        return !this.busy && !this.waiting.size;
    }

    // Gives up what is being worked on, for good.
    end() {
        this.worker.terminate();
    }

    next() {
        if (this.busy) return;
        const what = ["start", "shape", "fit", "tabs", "disc", "marked", "ways"].find((kind) => this.waiting.has(kind));
        if (!what) return;
        this.busy = what;
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
