// The page: what the reader asks for, and the engine's answer in words and in the drawing.
const data = JSON.parse(document.getElementById("data").textContent);
const by = (id) => document.getElementById(id);
const CUTS = ["inside", "outside", "pocket"];
const SNAP = 3; // steps of the slider: so near a bit of the rack is meant
const LARGEST_MM = 1000, SMALLEST_MM = .01, DISC_LIMIT_MM = 500;
const [wide0, high0, bit0, neck0, blunt, stock, sheetWide, sheetHigh, margin] = doublesOf(data.sizes);
const paths = readDrawing(doublesOf(data.drawing));
const pieceCount = new Set(paths.map(({ piece }) => piece)).size;
const slider = { least: .2, most: Math.max(12.7, 1.5 * bit0) };
const asked = { cut: data.cut, bit: bit0, neck: neck0, neckGiven: data.neckGiven, wide: null };
const state = { ...asked, off: new Set(), selected: -1, shape: { size: [wide0, high0], factor: 1, wide: null }, answer: null, marked: "" };

// "1/16in", "1 1/2in", "3mm", "0.2cm" or a bare number of millimetres; NaN for anything else.
function readLength(words) {
    const match = /^\s*(?:(\d+)\s+)?(\d*[.,]?\d+)(?:\s*\/\s*(\d*\.?\d+))?\s*(mm|cm|in|"|)\s*$/.exec(words);
    if (!match) return NaN;
    const unit = { mm: 1, "": 1, cm: 10, in: 25.4, '"': 25.4 }[match[4]];
    return (Number(match[1] || 0) + Number(match[2].replace(",", ".")) / Number(match[3] || 1)) * unit;
}

// ---- what is asked, as a command -------------------------------------------------------------

// For a POSIX shell (IEEE Std 1003.1, XCU 2.2.2: within single quotes everything stands for itself).
function quoted(word) {
    return /^[\w./:,+=@%-]+$/.test(word) ? word : `'${word.replace(/'/g, "'\\''")}'`;
}

function changes() {
    const changed = new Map();
    if (state.shape.wide) {
        changed.set("high", null).set("ppi", null).set("wide", `${short(state.shape.wide, 5)}mm`);
    }
    if (state.cut !== asked.cut) changed.set("cut", state.cut);
    if (state.bit !== asked.bit || !data.options.some(([name]) => name === "bit")) changed.set("bit", `${short(state.bit, 6)}mm`);
    if (state.neckGiven && (!asked.neckGiven || state.neck !== asked.neck)) changed.set("neck", `${short(state.neck, 6)}mm`);
    if (state.off.size) {
        const given = data.options.find(([name]) => name === "drop");
        const numbers = [...state.off].map((piece) => data.pieces[piece]).sort((a, b) => a - b).join(",");
        changed.set("drop", given ? `${given[1]},${numbers}` : numbers);
    }
    return changed;
}

function command(name = data.command, more = []) {
    const changed = changes();
    const options = data.options.map(([name, value]) => [name, changed.has(name) ? changed.get(name) : value, changed.delete(name)]);
    const kept = options.filter(([, value, was]) => !(was && value === null));
    for (const [name, value] of changed) if (value !== null) kept.push([name, value]);
    const words = kept.flatMap(([name, value]) => {
        const option = name.length > 1 ? `--${name}` : `-${name}`;
        return value === null ? [option] : [option, quoted(value)];
    });
    const dash = data.art.startsWith("-") && data.art !== "-";
    return ["narrows", name, ...words, ...more, ...(dash ? ["--"] : []), quoted(data.art)].join(" ");
}

// ---- the answer ------------------------------------------------------------------------------

function showSpots(result) {
    const items = result.spots.filter(({ words }) => words).map((spot, index) => {
        const button = document.createElement("button");
        button.type = "button";
        button.append(Object.assign(document.createElement("b"), { textContent: index + 1 }), spot.words);
        button.setAttribute("aria-current", index === state.selected);
        button.addEventListener("click", () => select(index));
        const item = document.createElement("li");
        item.append(button);
        return item;
    });
    by("spots").replaceChildren(...items);
    by("spots-head").textContent = result.spots.length ? `Spots, worst first (${result.spots.length})` : "No spots";
    const more = result.spots.length - items.length;
    by("more").textContent = more ? `and ${more} more in spots.csv once the command has run` : "";
}

function show() {
    const { result } = state.answer;
    if (state.selected >= result.spots.length) state.selected = -1;
    by("verdict").className = result.fits ? "good" : "bad";
    for (const name of ["verdict", "subject", "counts", "doubts"]) {
        if (by(name).textContent !== result[name]) by(name).textContent = result[name];
    }
    by("command").textContent = command();
    by("run-it").textContent = isChanged() ? "Run it to get the files for what you see here." : "This made what you see here.";
    showWays(result);
    showSpots(result);
    view.showResult(state.answer, state.answer.cutName, state.selected, select);
    document.documentElement.dataset.answers = Number(document.documentElement.dataset.answers || 0) + 1;
}

// The ways out were worked out for what was checked. Widening can be asked for whatever is shown.
function showWays(result) {
    const ways = isChanged() ? [] : data.ways;
    const widen = ["Widen these places:", command("widen", ["-o", "fixed.svg"])];
    by("ways").replaceChildren(...(ways.length || result.fits ? ways : [widen]).map(([words, line]) => {
        const item = document.createElement("li");
        item.append(words);
        if (line) item.append(" ", Object.assign(document.createElement("code"), { textContent: line }));
        return item;
    }));
}

function isChanged() {
    return changes().size > 0;
}

function select(index) {
    const spot = state.answer && state.answer.result.spots[index];
    if (!spot) return;
    state.selected = index;
    const whole = 1.5 * Math.max(spot.length, 0);
    view.place(...spot.at, Math.min(view.height, Math.max(8 * state.bit, Math.min(whole, 25 * state.bit))));
    show();
    const list = by("spots"), item = list.children[index];
    if (item) {
        item.firstChild.focus({ preventScroll: true });
        list.scrollTop += Math.min(0, item.offsetTop - list.offsetTop - list.scrollTop) +
            Math.max(0, item.offsetTop + item.offsetHeight - list.offsetTop - list.scrollTop - list.clientHeight);
    }
    by("view").scrollIntoView({ block: "nearest" });
}

function showDisc(disc) {
    view.showFinger(disc, state.bit);
    let words = "";
    if (disc && disc.open) words = "Nothing stands in a circle's way here";
    else if (disc) {
        const fits = disc.radius >= state.bit / 2 - .0025;
        words = `Largest circle here: ${told(2 * disc.radius)}; the ${short(state.bit, 4)} mm bit ${fits ? "cuts" : "does not cut"} this place`;
    }
    by("pointer").textContent = words;
}

// A length as the report tells it.
function told(mm) {
    return data.inch ? `${(mm / 25.4).toFixed(3)} in` : `${mm.toFixed(2)} mm`;
}

function showWrong(words) {
    by("wrong").textContent = words;
}

// ---- questions -------------------------------------------------------------------------------

let printLater = 0;

function answered(answer) {
    if (answer.what === "shape") {
        state.shape = answer;
        view.shape(answer.corner, answer.size, answer.factor);
        showInputs();
    } else if (answer.what === "fit") {
        state.answer = { ...answer, cutName: CUTS[answer.cut] };
        showWrong("");
        show();
        clearTimeout(printLater);
        printLater = setTimeout(() => engine.ask({ what: "marked" }), 250);
    } else if (answer.what === "disc") {
        showDisc(answer.disc);
    } else if (answer.what === "marked") {
        state.marked = answer.svg;
        document.documentElement.dataset.printable = document.documentElement.dataset.answers;
    } else if (answer.what === "failed") {
        showWrong(answer.message);
    }
}

function showInputs() {
    const values = { bit: state.bit, neck: state.neck, wide: state.shape.size[0] };
    for (const id in values) {
        if (document.activeElement !== by(id)) by(id).value = short(values[id], 4);
    }
    by("cut").value = state.cut;
    by("bit-shown").textContent = `${short(state.bit, 4)} mm`;
    if (Math.abs(toSlider(state.bit) - by("slider").value) > SNAP) by("slider").value = toSlider(state.bit);
    by("slider").setAttribute("aria-valuetext", `${short(state.bit, 4)} millimetres`);
    for (const button of by("rack").children) button.classList.toggle("now", Number(button.dataset.bit) === state.bit);
}

// The sheet, with the art in its lower left corner as near as margin and bit allow.
function sheetBox() {
    const off = margin + (state.cut === "outside" ? state.bit : 0);
    return sheetWide > 0 ? [-off, -off, sheetWide - off, sheetHigh - off] : [0, 0, 0, 0];
}

// By default the least neck is the bit's diameter, or the stock's thickness if that is more.
function ask() {
    const fromStock = !state.neckGiven && stock > state.bit;
    if (!state.neckGiven) state.neck = fromStock ? stock : state.bit;
    showInputs();
    engine.ask({ what: "fit", cut: CUTS.indexOf(state.cut), bit: state.bit, neck: state.neck, blunt, fromStock, sheet: sheetBox() });
}

function reshape() {
    const sized = data.options.some(([name]) => name === "wide" || name === "high");
    engine.ask({ what: "shape", off: [...state.off], factor: state.shape.factor, wide: state.wide,
        round: sized || state.shape.factor !== 1, whole: [wide0, high0] });
    ask();
}

// ---- controls --------------------------------------------------------------------------------

function toSlider(bit) {
    return Math.round(1000 * Math.log(bit / slider.least) / Math.log(slider.most / slider.least));
}

function fromSlider(value) {
    const near = data.rack.find(({ diameter }) => Math.abs(toSlider(diameter) - value) <= SNAP);
    return near ? near.diameter : Number((slider.least * (slider.most / slider.least) ** (value / 1000)).toFixed(3));
}

function listenLength(id, then) {
    by(id).addEventListener("change", () => {
        const length = readLength(by(id).value);
        const good = length >= SMALLEST_MM && length <= (id === "wide" ? 10 * LARGEST_MM : LARGEST_MM);
        by(id).setAttribute("aria-invalid", !good);
        showWrong(good ? "" : "A length is a number with mm, cm or in, such as 3.2mm or 1/8in");
        if (good) then(Number(length.toFixed(6)));
    });
}

function listenControls() {
    by("controls").addEventListener("submit", (event) => event.preventDefault());
    by("slider").addEventListener("input", () => {
        state.bit = fromSlider(Number(by("slider").value));
        ask();
    });
    listenLength("bit", (length) => { state.bit = length; ask(); });
    listenLength("neck", (length) => { [state.neck, state.neckGiven] = [length, true]; ask(); });
    listenLength("wide", (length) => { state.wide = length; reshape(); });
    by("cut").addEventListener("change", () => { state.cut = by("cut").value; ask(); });
    for (const box of document.querySelectorAll("[data-layer]")) {
        const apply = () => { view.layers[box.dataset.layer].style.display = box.checked ? "" : "none"; };
        box.addEventListener("change", apply);
        apply();
    }
    by("again").addEventListener("click", () => {
        Object.assign(state, asked, { off: new Set(), shape: { size: [wide0, high0], factor: 1, wide: null } });
        view.showPieces(state.off);
        reshape();
        view.whole();
    });
}

async function copy() {
    const words = command();
    try {
        await navigator.clipboard.writeText(words);
    } catch {
        getSelection().selectAllChildren(by("command")); // from disk some browsers have no clipboard
        document.execCommand("copy");
    }
    by("copy").textContent = "Copied";
    setTimeout(() => { by("copy").textContent = "Copy"; }, 1500);
}

function listenView() {
    by("nearer").addEventListener("click", () => view.zoom(1 / 1.4));
    by("farther").addEventListener("click", () => view.zoom(1.4));
    by("whole").addEventListener("click", () => view.whole());
    by("copy").addEventListener("click", copy);
    by("print-it").addEventListener("click", () => window.print());
    window.addEventListener("beforeprint", () => { if (state.marked) printBuild(state.marked, by("print")); });
    by("view").addEventListener("pointermove", (event) => {
        const [x, y] = view.toMillimetres(event);
        engine.ask({ what: "disc", cut: CUTS.indexOf(state.cut), x, y, limit: DISC_LIMIT_MM });
    });
    by("view").addEventListener("pointerleave", () => showDisc(null));
    by("view").addEventListener("keydown", key);
}

function key(event) {
    const step = view.height / 8, spots = state.answer ? state.answer.result.spots.length : 0;
    const next = (by) => spots && select((Math.max(state.selected, by < 0 ? 0 : -1) + by + spots) % spots);
    const move = (x, y) => view.place(view.x + x * step, view.y + y * step, view.height);
    const does = { "+": () => view.zoom(1 / 1.4), "=": () => view.zoom(1 / 1.4), "-": () => view.zoom(1.4), 0: () => view.whole(),
        ArrowLeft: () => move(-1, 0), ArrowRight: () => move(1, 0), ArrowUp: () => move(0, 1), ArrowDown: () => move(0, -1),
        n: () => next(1), p: () => next(-1) }[event.key];
    if (!does || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    does();
    by("view").focus({ preventScroll: true });
}

// Names in up to four rows, so that neighbours do not hide each other.
function showRack() {
    const ends = [-Infinity, -Infinity, -Infinity, -Infinity];
    for (const { name, diameter } of [...data.rack].sort((a, b) => a.diameter - b.diameter)) {
        const place = toSlider(diameter), half = 10 + 10.5 * name.length;
        const row = ends.findIndex((end) => end < place - half);
        if (place < 0 || place > 1000) continue;
        if (row >= 0) ends[row] = place + half;
        const button = document.createElement("button");
        button.type = "button";
        button.append(row < 0 ? "" : name);
        button.title = `${name}: ${short(diameter, 4)} mm`;
        button.setAttribute("aria-label", button.title);
        button.style.left = `${place / 10}%`;
        button.dataset.bit = diameter;
        button.dataset.row = Math.max(row, 0);
        button.addEventListener("click", () => { state.bit = diameter; ask(); });
        by("rack").append(button);
    }
}

function showFixedWords() {
    for (const note of data.notes) {
        by("notes").append(Object.assign(document.createElement("p"), { className: "small", textContent: note }));
    }
    by("caution").textContent = data.caution;
    by("click-hint").hidden = !data.pieces;
    for (const [layer, there] of [["picture", data.picture], ["tabs", data.tabs]]) {
        document.querySelector(`[data-layer=${layer}]`).parentNode.hidden = !there;
    }
}

const view = new View(by("view"), { size: [wide0, high0], paths, numbers: data.pieces,
    picture: data.picture && { ...data.picture, place: doublesOf(data.picture.place) },
    tabs: data.tabs ? readDrawing(doublesOf(data.tabs)) : [] }, (piece) => {
    if (!data.pieces) return;
    if (!state.off.delete(piece) && state.off.size + 1 < pieceCount) state.off.add(piece);
    state.wide = null;
    view.showPieces(state.off);
    reshape();
});
const engine = new Engine(by("engine").textContent,
    { art: data.art, inch: data.inch, size: [wide0, high0], drawing: doublesOf(data.drawing), pieceCount }, answered);
showFixedWords();
showRack();
listenControls();
listenView();
ask0();

function ask0() {
    engine.ask({ what: "shape", off: [], factor: 1, wide: null, round: false, whole: [wide0, high0] });
    ask();
}
