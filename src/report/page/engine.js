// The fit: the same C sources as the command's, compiled to WebAssembly, in a worker of its own.
// engine.c beside this file documents the arrays of numbers that go in and come out. Shapes come out
// as the path data that SVG takes (engine_shapes.c), so that the page itself has little to do.
function engineWorker() {
    const HEAD = 12, SPOT = 16, WAYS = 3;
    const WORDS = ["verdict", "subject", "counts", "doubts"], ERROR = 4, CAUTION = 5;
    const FILES = ["outline.svg", "outline.dxf", "spots.csv"], ART = 21, BIT = 7;
    const SHAPES = { spot: 0, corners: 1, way: 2, reach: 3, tabs: 4 }, SPOTS_TOLD = 200;
    let wasm = null, page = 0, pieces = 0, done = "", source = null;

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

    const start = async ({ bytes, art, inch, size, doubts, drawing, pieceCount, rack, rackNumbers }) => {
        // The engine asks its system for nothing that matters here: every call answers 0.
        const nothing = new Proxy({}, { get: () => () => 0 });
        const made = await WebAssembly.instantiate(bytes, { wasi_snapshot_preview1: nothing });
        wasm = made.instance.exports;
        wasm._initialize();
        page = wasm.page_new();
        if (!drawing) return; // there is no art yet
        pieces = pieceCount;
        const at = numbersIn(drawing);
        must(wasm.page_load(page, textIn(art), inch, size[0], size[1], at, drawing.length));
        wasm.page_release(at);
        wasm.page_doubts(page, ...doubts);
        must(wasm.page_rack(page, textIn(rack.map(({ name }) => `${name}\0`).join("")), numbersIn(rackNumbers), rack.length));
    };

    // ---- art to outlines -----------------------------------------------------------------------

    // Pixels or an SVG drawing's elements; they stay, for other sizes and choices.
    const takeIn = ({ pixels, texts, ...about }) => {
        if (source) wasm.page_release(source.at);
        const bytes = pixels || new TextEncoder().encode(texts), at = room(bytes.length);
        new Uint8Array(wasm.memory.buffer, at, bytes.length).set(bytes);
        source = { at, length: bytes.length, drawn: !pixels, ...about };
    };

    const rackOf = (stock) => {
        must(wasm.page_rack_common(page, stock));
        const numbers = numbersOut().slice(), rack = [], rackNumbers = [];
        for (let k = 0; k < numbers.length / BIT; k++) {
            rack.push({ name: text(wasm.page_bit_name(page, k)), diameter: numbers[BIT * k + 6] });
            rackNumbers.push(...numbers.subarray(BIT * k, BIT * k + 6));
        }
        return { rack, rackNumbers };
    };

    // The outlines of the art that was made last.
    const outlines = () => {
        must(wasm.page_outlines(page));
        const numbers = numbersOut().slice(), first = ART + numbers[20];
        return { size: [numbers[0], numbers[1]], place: [...numbers.subarray(5, 11)], pixels: [numbers[11], numbers[12]], doubts: [...numbers.subarray(13, 19)],
            pieces: [...numbers.subarray(ART, first)], drawing: numbers.slice(first), noteCount: numbers[19] };
    };

    const load = ({ art, options, inch, stock }) => {
        if (art) takeIn(art);
        const none = textIn(""), at = numbersIn(options);
        wasm.page_options(page, at, none, none);
        for (const place of [none, at]) wasm.page_release(place);
        must(source.drawn ? wasm.page_svg(page, source.at, source.length, source.bytes)
            : wasm.page_picture(page, source.at, source.width, source.height, 0, source.coarse));
        const made = outlines();
        const notes = Array.from({ length: made.noteCount }, (_, k) => text(wasm.page_note(page, k, inch))).filter(Boolean);
        return { ...made, ...rackOf(stock), notes, caution: text(wasm.page_words(page, CAUTION)) };
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

    const path = (shape, skip, spot = 0) => text(wasm.page_path(page, SHAPES[shape], spot, skip));

    const readSpot = (n) => ({
        side: n[0] ? "neck" : "gap", form: ["pinch", "stub", "miss"][n[1]], at: [n[2], n[3]],
        width: n[4], length: n[5], depth: n[6], area: n[7], widen: n[8], from: [n[9], n[10]],
        to: [n[11], n[12]], stuck: [n[13], n[14]],
    });

    // No call into the engine may come between: it could move its memory.
    const readResult = (n) => {
        const told = { fits: n[0] > 0, narrowestGap: n[1], narrowestNeck: n[2],
            corners: { count: n[5], deepest: n[6], area: n[7] },
            area: { cut: n[8], reached: n[9], unreached: n[10] }, unpaired: n[11], spots: [], lifts: [] };
        let at = HEAD;
        for (let k = 0; k < n[3]; k++, at += SPOT) told.spots.push(readSpot(n.subarray(at, at + SPOT)));
        for (let k = 0; k < n[4]; k++, at += 3) told.lifts.push({ at: [n[at], n[at + 1]], width: n[at + 2] });
        const [count, area] = new Float64Array(wasm.memory.buffer, wasm.page_loose(page), 2);
        told.loose = { count, area };
        return told;
    };

    // `skip`: how coarse the shapes may be, in millimetres. Then the fit uses what it has learnt;
    // where it is 0, the answer is the command's, bit for bit. `shapes`: which are wanted.
    const fit = ({ cut, bit, neck, blunt, fromStock, sheet, skip, shapes }) => {
        const began = performance.now();
        must(wasm.page_fit(page, skip > 0, cut, bit, neck, blunt, fromStock, ...sheet));
        const told = readResult(numbersOut());
        told.data = { gap: "", neck: "" };
        for (const [k, spot] of told.spots.entries()) {
            told.data[spot.side] += path("spot", skip, k);
            spot.words = k < SPOTS_TOLD ? text(wasm.page_spot_words(page, k)) : "";
        }
        for (const shape of shapes) told.data[shape] = path(shape, skip);
        WORDS.forEach((name, which) => { told[name] = text(wasm.page_words(page, which)); });
        told.milliseconds = performance.now() - began;
        return { result: told, cut, bit, neck, skip };
    };

    // One diameter at a time, so that nobody waits for it.
    const learn = ({ diameters }) => {
        must(wasm.page_learn(page, diameters[0]));
        return { left: diameters.slice(1) };
    };

    const disc = ({ cut, x, y, limit }) => {
        const at = wasm.page_disc(page, cut, x, y, limit);
        if (!at) return { disc: null };
        const n = new Float64Array(wasm.memory.buffer, at, 5);
        return { disc: { at: [n[0], n[1]], normal: [n[2], n[3]], radius: n[4], open: n[4] >= limit } };
    };

    const tabs = ({ count, width }) => {
        must(wasm.page_tabs(page, count, width));
        const [found, missing, wide] = numbersOut();
        return { count: found, missing, width: wide, data: path("tabs", 0) };
    };

    // ---- what takes longer, of a shape and fit of its own ----------------------------------------

    const again = (asked) => {
        const key = JSON.stringify([asked.shape, asked.fit, asked.tabs]);
        if (key === done) return;
        done = "";
        shape(asked.shape);
        const { cut, bit, neck, blunt, fromStock, sheet } = asked.fit;
        must(wasm.page_fit(page, 0, cut, bit, neck, blunt, fromStock, ...sheet));
        if (asked.tabs) must(wasm.page_tabs(page, asked.tabs.count, asked.tabs.width));
        done = key;
    };

    const marked = (asked) => {
        again(asked);
        const note = textIn(asked.note), svg = text(wasm.page_marked(page, note));
        wasm.page_release(note);
        return { svg, answers: asked.answers };
    };

    const widen = (asked) => {
        again(asked);
        must(wasm.page_widen(page, asked.stubs, asked.misses));
        const made = outlines(), change = {};
        ["words", "before", "added", "removed", "outline.svg", "outline.dxf"].forEach((name, k) => { change[name] = text(wasm.page_change(page, k)); });
        return { ...made, change, command: asked.command };
    };

    const file = (asked) => {
        again(asked);
        const note = textIn(asked.note), which = FILES.indexOf(asked.name);
        const at = which >= 0 ? wasm.page_file(page, which)
            : asked.name === "marked.pdf" ? wasm.page_pdf(page, note) : wasm.page_marked(page, note);
        const content = text(at);
        wasm.page_release(note);
        if (!content) throw new Error(text(wasm.page_words(page, ERROR)) || `${asked.name} would take too many sheets`);
        return { name: asked.name, content };
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

    const does = { start, load, shape, fit, learn, disc, tabs, marked, file, widen, ways };
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
    constructor(packed, art, answer) {
        const address = URL.createObjectURL(new Blob([`(${engineWorker})();`], { type: "text/javascript" }));
        this.worker = new Worker(address);
        this.waiting = new Map();
        this.busy = "unpack";
        this.worker.onmessage = ({ data }) => {
            this.busy = "";
            answer(data);
            this.next();
        };
        unpacked(packed).then((bytes) => {
            this.busy = "";
            this.ask({ what: "start", bytes, ...art });
        });
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
        const what = ["start", "load", "shape", "fit", "tabs", "disc", "learn", "file", "widen", "marked", "ways"].find((kind) => this.waiting.has(kind));
        if (!what) return;
        this.busy = what;
        this.worker.postMessage(this.waiting.get(what));
        this.waiting.delete(what);
    }
}

// As page_file.c wrote them, or as they are.
function doublesOf(numbers) {
    return typeof numbers === "string" ? new Float64Array(bytesOf(numbers).buffer) : Float64Array.from(numbers);
}
