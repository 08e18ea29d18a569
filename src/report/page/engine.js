// The command itself, without files and terminal: the same C sources, compiled to WebAssembly. engine.c and its like in
// src/cli/engine document the arrays of numbers that go in and come out. Shapes come out as the path data that SVG
// takes, so that the page itself has little to do. Here are the calls, for the page and for its workers.
// host: what the engine asks of it goes there.
function engineCalls(wasm, host) {
    const HEAD = 12, SPOT = 16, WAYS = 5, ART = 21, BIT = 7;
    const WORDS = ["verdict", "subject", "counts", "doubts"], ERROR = 4, CAUTION = 5;
    const SHAPES = { gap: 0, neck: 1, corners: 2, way: 3, reach: 4, tabs: 5, bridges: 6, loose: 7 }, SPOTS_MOVING = 60, CUTS = ["inside", "outside", "pocket"];
    const CHANGE = ["words", "before", "added", "removed", "outline.svg", "outline.dxf"];
    wasm._initialize();
    const page = wasm.page_new();
    let pieces = 0, firsts = [], done = "", source = null;

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
    // Gives bytes, words or numbers to a call, which gets their place and how many bytes they are.
    const lent = (what, call) => {
        const bytes = typeof what === "string" ? new TextEncoder().encode(`${what}\0`) : new Uint8Array(what.buffer, what.byteOffset, what.byteLength);
        const at = room(bytes.length);
        new Uint8Array(wasm.memory.buffer, at, bytes.length).set(bytes);
        try {
            return call(at, bytes.length);
        } finally {
            wasm.page_release(at);
        }
    };
    const numbersAt = (at, count) => new Float64Array(wasm.memory.buffer, at, count);
    const numbersOut = () => numbersAt(wasm.page_result(page), wasm.page_result_length(page));
    // Texts one after the other, until there is an empty one.
    const texts = (next) => {
        const all = [];
        for (let one = text(next(0)); one; one = text(next(all.length))) all.push(one);
        return all;
    };

    // ---- what is asked, in the command's options ---------------------------------------------------

    const table = () => texts((k) => wasm.page_option(page, k)).map((row) => {
        const [name, commands, group, argument, choices, stays] = row.split("\t");
        return { name, commands: commands.trim().split(" "), group, argument, choices: choices.split(" "), stays: stays !== "" };
    });

    // What they come to; an error tells the option that is wrong.
    const request = (options) => {
        const status = lent(options.map(([name, words]) => `${name}\0${words || ""}\0`).join(""), (at, bytes) => wasm.page_request(page, at, bytes - 1));
        if (status) throw Object.assign(new Error(text(wasm.page_words(page, ERROR))), { option: text(wasm.page_fault(page)) });
        const [cut, bit, neck, neckGiven, blunt, wide, high, stock, tabs] = numbersAt(wasm.page_asked(page), 9);
        return { cut: CUTS[cut], bit, neck, neckGiven: neckGiven > 0, blunt, wide, high, stock, tabs: tabs > 0 };
    };

    // ---- the rack ------------------------------------------------------------------------------------

    const rackBits = () => {
        must(wasm.page_rack_bits(page));
        const numbers = numbersOut().slice(), bits = [], rackNumbers = [];
        for (let k = 0; k < numbers.length / BIT; k++) {
            bits.push({ name: text(wasm.page_bit_name(page, k)), diameter: numbers[BIT * k + 6] });
            rackNumbers.push(...numbers.subarray(BIT * k, BIT * k + 6));
        }
        return { rack: bits, rackNumbers };
    };

    // Of a text, or where that is empty the one that narrows knows.
    const rackRead = (words, file) => {
        must(lent(words, (at, bytes) => lent(file, (name) => wasm.page_rack_read(page, at, bytes - 1, name))));
        return rackBits();
    };

    const rackTake = ({ rack, rackNumbers }) => {
        must(lent(rack.map(({ name }) => `${name}\0`).join(""), (names) => lent(Float64Array.from(rackNumbers), (at) => wasm.page_rack(page, names, at, rack.length))));
        return rackBits();
    };

    // ---- art to outlines -------------------------------------------------------------------------------

    // Notes on the art, and what is not sure of it, as told gives them.
    const tell = ({ notes: told, doubts }) => {
        done = "";
        wasm.page_doubts(page, ...doubts);
        lent(told.map(([weight, words]) => `${weight}${words}\0`).join(""), (at, bytes) => wasm.page_told(page, at, bytes - 1));
    };

    const start = ({ art, size, doubts, notes: told, drawing, numbers, firsts: stand, rack, rackNumbers }) => {
        if (!drawing) return; // there is no art yet
        done = "";
        [pieces, firsts] = [numbers.length / 2, stand];
        must(lent(art, (name) => lent(drawing, (at) => wasm.page_load(page, name, size[0], size[1], at, drawing.length))));
        must(lent(Float64Array.from(numbers), (at) => wasm.page_pieces(page, at, pieces)));
        tell({ notes: told, doubts });
        rackTake({ rack, rackNumbers });
    };


    // Weightiest first, each with its weight, which is 0 for what is of use to few.
    const notes = () => {
        const all = [];
        for (let weight = wasm.page_note_weight(page, 0); weight >= 0; weight = wasm.page_note_weight(page, all.length)) all.push([weight, text(wasm.page_note(page, all.length))]);
        return all;
    };

    // The outlines of the art that was made last.
    const outlines = () => {
        must(wasm.page_outlines(page));
        const n = numbersOut().slice(), first = ART + 2 * n[20];
        must(wasm.page_art_notes(page));
        return { size: [n[0], n[1]], place: [...n.subarray(5, 11)], pixels: [n[11], n[12]], doubts: [...n.subarray(13, 20)],
            numbers: [...n.subarray(ART, first)], drawing: n.slice(first), notes: notes() };
    };

    host.row = (at, y) => {
        const bytes = 4 * source.width;
        new Uint8Array(wasm.memory.buffer, at, bytes).set(source.pixels.subarray(bytes * y, bytes * (y + 1)));
    };

    // Pixels or an SVG drawing's elements; they stay, for other sizes and choices.
    const load = ({ art, options }) => {
        source = art || source;
        request(options);
        must(source.pixels ? lent(source.exif, (at, bytes) => wasm.page_picture(page, source.width, source.height, source.ppi || 0, source.coarse, at, bytes))
            : lent(source.elements, (at, bytes) => wasm.page_svg(page, at, bytes - 1, source.bytes)));
        return outlines();
    };

    // What there is to say of the art that these options make, and where it lies, which is what its size is.
    const told = ({ of, ...asked }) => {
        const { notes: said, doubts, place } = load(asked);
        return { of, notes: said, doubts, place };
    };

    // What the art would be by each of some words of an option.
    const looks = ({ art, options, option, words }) => ({ looks: words.map((one, k) => {
        try {
            return { words: one, ...load({ art: k ? null : art, options: [...options.filter(([name]) => name !== option), [option, one]] }) };
        } catch {
            return null; // nothing of it is left
        }
    }).filter(Boolean) });

    // ---- what is asked of it -----------------------------------------------------------------------------

    const shapeOnce = (factor, off) => {
        const keep = new Uint8Array(Math.max(pieces, 1)).fill(1), gone = new Set(off);
        for (let k = 0; k < pieces; k++) if (gone.has(firsts[k])) keep[k] = 0;
        must(lent(keep, (at) => wasm.page_shape(page, factor, at, pieces)));
        return [...numbersAt(wasm.page_shape_result(page), 4)];
    };

    // The art without what is off: `factor` times the size that was handed in, or so wide or high. With a unit, its
    // width becomes one that can be written down in it.
    const shape = ({ off, factor = 1, wide, high, unit }) => {
        let [x, y, width, height] = shapeOnce(1, off);
        if (unit) wide = Number((width * factor / unit).toFixed(4)) * unit;
        if (wide) factor = wide / width;
        else if (high) factor = high / height;
        if (factor !== 1) [x, y, width, height] = shapeOnce(factor, off);
        return { corner: [x, y], size: [wide || width, height], factor, off, rounded: !!unit };
    };

    const path = (shape, skip) => text(wasm.page_path(page, SHAPES[shape], skip));

    const readSpot = (n) => ({
        side: n[0] ? "neck" : "gap", form: ["pinch", "stub", "miss"][n[1]], at: [n[2], n[3]],
        width: n[4], length: n[5], depth: n[6], area: n[7], widen: n[8], from: [n[9], n[10]],
        to: [n[11], n[12]], stuck: [n[13], n[14]], chosen: n[15],
    });

    // No call into the engine may come between: it could move its memory.
    const readResult = (n) => {
        const told = { fits: n[0] > 0, narrowestGap: n[1], narrowestNeck: n[2],
            corners: { count: n[5], deepest: n[6], area: n[7] },
            area: { cut: n[8], reached: n[9], unreached: n[10] }, unpaired: n[11], spots: [], lifts: [] };
        let at = HEAD;
        for (let k = 0; k < n[3]; k++, at += SPOT) told.spots.push(readSpot(n.subarray(at, at + SPOT)));
        for (let k = 0; k < n[4]; k++, at += 3) told.lifts.push({ at: [n[at], n[at + 1]], width: n[at + 2] });
        const [count, area, wide, high, tabs, missing, tabWide, asked, bridges, nowhere, bridgeWide, bridged] = numbersAt(wasm.page_held(page), 12);
        told.loose = { count, area };
        told.needs = [wide, high];
        told.tabs = asked ? { count: tabs, missing, width: tabWide } : null;
        told.bridges = bridged ? { count: bridges, nowhere, width: bridgeWide } : null;
        return told;
    };

    const fitOnce = ({ options, choices }, quick) => {
        const asked = request(options);
        lent(Float64Array.from(choices.flat()), (at) => wasm.page_choices(page, at, choices.length));
        must(wasm.page_fit(page, quick));
        return asked;
    };

    // From one outline to the other, y up; its middle is the place that --bridge-at has for it.
    const bridgePlaces = () => {
        must(wasm.page_bridges(page));
        const n = [...numbersOut()];
        return Array.from({ length: n.length / 4 }, (_, k) => ({ from: n.slice(4 * k, 4 * k + 2), to: n.slice(4 * k + 2, 4 * k + 4) }));
    };

    // `skip`: how coarse the shapes may be, in millimetres. Then the fit uses what it has learnt, and notes and tabs stay;
    // where it is 0, the answer is the command's, bit for bit. `shapes`: which are wanted.
    const fit = (asked) => {
        const { skip, shapes } = asked, began = performance.now(), { cut, bit, neck } = fitOnce(asked, skip > 0);
        const told = readResult(numbersOut());
        for (const [k, spot] of told.spots.entries()) {
            spot.away = text(wasm.page_away_word(page, k));
            spot.words = !skip || k < SPOTS_MOVING ? text(wasm.page_spot_words(page, k)) : "";
        }
        told.data = {};
        for (const shape of ["gap", "neck", ...shapes]) told.data[shape] = path(shape, skip);
        if (!skip) Object.assign(told.data, { tabs: path("tabs", 0), bridges: path("bridges", 0), loose: path("loose", 0) });
        WORDS.forEach((name, which) => { told[name] = text(wasm.page_words(page, which)); });
        told.notes = notes().filter(([weight]) => weight).map(([, words]) => words);
        told.choice = text(wasm.page_spots(page));
        if (told.bridges) told.bridges.places = bridgePlaces();
        told.milliseconds = performance.now() - began;
        return { result: told, cut, bit, neck, skip };
    };

    // One diameter at a time, so that nobody waits for it.
    const learn = ({ diameters }) => {
        must(wasm.page_learn(page, diameters[0]));
        return { left: diameters.slice(1) };
    };

    const disc = ({ x, y, limit }) => {
        const at = wasm.page_disc(page, x, y, limit);
        if (!at) return { disc: null };
        const n = numbersAt(at, 5);
        return { disc: { at: [n[0], n[1]], normal: [n[2], n[3]], radius: n[4], open: n[4] >= limit } };
    };

    // ---- what takes longer, of a shape and fit of its own ------------------------------------------------

    const again = (asked) => {
        const key = JSON.stringify([asked.shape, asked.options, asked.choices]);
        if (key === done) return;
        done = "";
        shape(asked.shape);
        fitOnce(asked, 0);
        done = key;
    };

    const widen = (asked) => {
        again(asked);
        request(asked.widenOptions);
        must(wasm.page_widen(page));
        const change = {};
        CHANGE.forEach((name, k) => { change[name] = text(wasm.page_change(page, k)); });
        done = "";
        return { place: outlines().place, change, widened: asked.widened, given: asked.given };
    };

    const file = (asked) => {
        again(asked);
        const content = lent(asked.name, (name) => text(wasm.page_file(page, name)));
        if (!content) throw new Error(text(wasm.page_words(page, ERROR)) || `${asked.name} would take too many sheets`);
        return { name: asked.name, content };
    };

    const ways = (asked) => {
        again(asked);
        rackTake(asked);
        must(lent(asked.path, (at) => wasm.page_ways(page, at)));
        const lines = Array.from({ length: WAYS }, (_, k) => [0, 1].map((command) => text(wasm.page_way(page, k, command))));
        return { ways: lines.filter(([line]) => line), room: text(wasm.page_way(page, -1, 0)), answers: asked.answers };
    };

    // Every bit, or every size, side by side: what the command of that name prints as JSON, and of each what stays uncut in words.
    const chart = (asked) => {
        again(asked);
        rackTake(asked);
        const words = text(asked.about === "bits" ? wasm.page_bits(page) : wasm.page_sizes(page));
        if (!words) throw new Error(text(wasm.page_words(page, ERROR)));
        const found = JSON.parse(words);
        return { about: asked.about, found, uncut: found[asked.about].map((row) => text(wasm.page_share(page, row.unreached_share ?? 0, 1))) };
    };
    const bits = (asked) => chart({ ...asked, about: "bits" }), sizes = (asked) => chart({ ...asked, about: "sizes" });

    // Work that nobody waits for: a browser compiles well only what has been used much, and for all workers at once. So
    // the first picture is answered as fast as the next.
    const warm = ({ options }) => {
        const side = 400, pixels = new Uint8Array(4 * side * side).fill(255);
        let seed = 1;
        for (let at = 0; at < pixels.length; at += 4) {
            const x = at / 4 % side - side / 2, y = Math.floor(at / 4 / side) - side / 2;
            const inside = 130 + 50 * Math.cos(9 * Math.atan2(y, x)) - Math.hypot(x, y); // leaves, and gaps between them
            seed = Math.imul(seed, 1664525) + 1013904223;
            pixels.fill(240 - 220 * Math.min(Math.max(inside + .5, 0), 1) + (seed >>> 28), at, at + 3); // on grainy paper
        }
        for (let round = 0; round < 3; round++) {
            const made = load({ art: { pixels, width: side, height: side, coarse: true, exif: new Uint8Array(0) }, options });
            start({ ...made, ...rackRead("", ""), art: "" });
            shape({ off: [] });
            fit({ options, choices: [], skip: 0, shapes: [] });
        }
        return {};
    };

    const length = (mm, bit, inch) => text(wasm.page_length(page, mm, bit, inch));

    return { table, length, request, rackRead, rackTake, caution: () => text(wasm.page_words(page, CAUTION)), start, load, told, tell, shape, fit, learn, disc, file, widen, plan: widen, ways, bits, sizes, looks, warm };
}

// The engine asks its system for nothing that matters here: every call answers 0.
async function engineMade(module, progress = () => {}) {
    const nothing = new Proxy({}, { get: () => () => 0 }), host = {}, row = (at, y) => host.row(at, y);
    return engineCalls((await WebAssembly.instantiate(module, { wasi_snapshot_preview1: nothing, page: { row, progress } })).exports, host);
}

function engineWorker() {
    const TOLD_MS = 250; // apart
    let engine = null, toldAt = 0;
    const progress = (share) => {
        if (performance.now() - toldAt < TOLD_MS) return;
        toldAt = performance.now();
        self.postMessage({ what: "progress", share });
    };
    self.onmessage = async ({ data: ask }) => {
        toldAt = performance.now();
        try {
            if (ask.module) engine = await engineMade(ask.module, progress);
            self.postMessage({ what: ask.what, ...engine[ask.what](ask) });
        } catch (error) {
            self.postMessage({ what: "failed", about: ask.what, message: error.message });
        }
    };
}

// Questions go to the worker one at a time. Of those that wait only the newest of a kind is kept,
// so that a slider that moves fast never queues up work.
class Engine {
    // `wait`: milliseconds until it begins.
    constructor(art, answer, wait = 0) {
        this.answer = answer;
        this.worker = null;
        this.waiting = new Map([["start", { what: "start", module: front.module, ...art }]]);
        this.asked = null; // what it works on
        if (wait) this.timer = setTimeout(() => this.begin(), wait);
        else this.begin();
    }

    begin() {
        const source = `${engineCalls}\n${engineMade}\n(${engineWorker})();`;
        const address = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
        this.worker = new Worker(address);
        this.worker.onmessage = ({ data }) => {
            if (data.what === "progress") {
                progressShow(this.asked, data.share);
                return;
            }
            this.asked = null;
            if (data.skip) this.answer(data); // the slider moves, and its boxes are fixed
            else inPlace(() => this.answer(data));
            this.next();
        };
        this.next();
    }

    ask(question) {
        this.waiting.set(question.what, question);
        this.next();
    }

    get idle() {
        return !this.asked && !this.waiting.size;
    }

    // Gives up what is being worked on, for good.
    end() {
        clearTimeout(this.timer);
        if (this.worker) this.worker.terminate();
    }

    next() {
        if (this.asked || !this.worker) return;
        const what = ["start", "load", "told", "tell", "shape", "fit", "disc", "learn", "file", "widen", "ways", "bits", "sizes", "looks", "plan", "warm"].find((kind) => this.waiting.has(kind));
        if (!what) return;
        this.asked = this.waiting.get(what);
        const { art } = this.asked;
        this.worker.postMessage(this.asked, art && art.pixels ? [art.pixels.buffer] : []);
        this.waiting.delete(what);
    }
}

// As page_file.c wrote them, or as they are.
function doublesOf(numbers) {
    return typeof numbers === "string" ? new Float64Array(bytesOf(numbers).buffer) : Float64Array.from(numbers);
}
