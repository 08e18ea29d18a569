// The page: what the reader asks for, and the engine's answer in words and in the drawing.
const by = (id) => document.getElementById(id);
const CUTS = ["inside", "outside", "pocket"];
const SNAP = 3; // steps of the slider: so near a bit of the rack is meant
const LARGEST_MM = 1000, SMALLEST_MM = .01;
const LAG_MS = 400; // less is not noticed
const LEARN_MOST_MS = 2000; // of one fit; beyond, what asks next would wait too long
const REST_MS = 200; // after the last move of the slider
// What the page is about, set by begin().
let data, wide0, high0, bit0, neck0, blunt, stock, sheetWide, sheetHigh, margin, bit1, neck1;
let paths, pieceCount, rack, slider, asked, shape0, state, view, engine, later;

// ---- the answer ------------------------------------------------------------------------------

function showSpots(result) {
    const items = result.spots.filter(({ words }) => words).map((spot, index) => {
        const button = document.createElement("button");
        button.type = "button";
        button.append(Object.assign(document.createElement("b"), { textContent: index + 1, className: spot.side }), spot.words);
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

function looseWords({ count }) {
    if (!count) return "";
    return state.cut === "outside" ? `The art is ${count} separate parts; --bridge of widen and outline joins them.`
        : `${count} island${count === 1 ? "" : "s"} of stock come${count === 1 ? "s" : ""} loose; --bridge of widen and outline hold${count === 1 ? "s it" : "s them"}.`;
}

// A text with the art's name, which may be written from right to left, isolated from the rest.
function isolated(text) {
    const name = [data.art, data.art.replace(/^.*\//, "")].find((one) => one && text.startsWith(one));
    return name ? [Object.assign(document.createElement("bdi"), { textContent: name }), text.slice(name.length)] : [text];
}

function show() {
    const { result } = state.answer;
    if (state.selected >= result.spots.length) state.selected = -1;
    by("verdict").className = result.fits ? "good" : "bad";
    for (const name of ["verdict", "subject", "counts", "doubts"]) {
        if (by(name).textContent !== result[name]) by(name).replaceChildren(...isolated(result[name]));
    }
    by("loose").textContent = looseWords(result.loose);
    showCommand();
    showSpots(result);
    showLegend(result);
    view.showResult(state.answer, state.answer.cutName, state.selected, select);
    if (state.disc) showDisc(state.disc);
}

function showCommand() {
    const words = (data.widened || commandWords()).flatMap((word) => [Object.assign(document.createElement("span"), { textContent: word }), " "]);
    by("command").replaceChildren(...(data.command ? words.slice(0, -1) : ["Run widen without --as-cut, --bit-path and --tabs for a fixed.svg that check takes."]));
    by("copy").hidden = !data.command;
    by("run-it").hidden = !data.command;
    by("run-it").textContent = data.widened ? "It writes the widened outlines, as fixed.svg and fixed.dxf." : isChanged() ? "Run it to get the files for what you see here." : "It gives what you see here.";
}

function showLegend(result) {
    const { before, added, removed } = isShown("before") && data.change || {};
    const lost = (side) => isShown("lost") && result.spots.some((spot) => spot.side === side);
    const there = { before, added, removed, reach: isShown("reach"), gap: lost("gap"), corner: isShown("lost") && result.corners.count,
        neck: lost("neck"), path: isShown("path"), lift: result.lifts.length, tab: state.tabs && state.cut !== "pocket" };
    for (const item of by("legend").children) item.hidden = !there[item.dataset.key];
}

function select(index) {
    const spot = state.answer && state.answer.result.spots[index];
    if (!spot) return;
    state.selected = index;
    const whole = 1.5 * Math.max(spot.length, 0);
    view.place(...spot.at, Math.min(view.height, Math.max(8 * state.bit, Math.min(whole, 25 * state.bit))));
    show();
    askDisc(...spot.at);
    by("chosen").textContent = `Spot ${index + 1} of ${state.answer.result.spots.length}: ${spot.words}`;
    by("view").scrollIntoView({ block: "nearest" });
    showItem(index);
}

// Of the list only what is on the screen counts.
function showItem(index) {
    const list = by("spots"), item = list.children[index];
    if (!item) return;
    item.firstChild.focus({ preventScroll: true });
    const [frame, box] = [list, item].map((node) => node.getBoundingClientRect());
    const low = Math.max(Math.min(frame.bottom, innerHeight), frame.top + box.height);
    list.scrollTop += Math.min(0, box.top - frame.top) + Math.max(0, box.bottom - low);
}

// Says so when what is shown lags behind what is asked.
function showBusy(busy) {
    clearTimeout(state.lag);
    if (!busy) delete document.documentElement.dataset.busy;
    else state.lag = setTimeout(() => { document.documentElement.dataset.busy = ""; }, LAG_MS);
}

function showWrong(words) {
    by("wrong").textContent = words;
}

// ---- questions -------------------------------------------------------------------------------

function answered(answer) {
    if (answer.what === "shape") {
        state.shape = answer;
        view.shape(answer.corner, answer.size, answer.factor);
        showDisc(null);
        showInputs();
    } else if (answer.what === "fit") {
        state.answer = { ...answer, cutName: CUTS[answer.cut] };
        showBusy(engine.waiting.has("fit"));
        showWrong("");
        show();
        askTabs();
        if (answer.skip === 0) {
            askRest();
            learn();
        }
        const root = document.documentElement.dataset;
        root.answers = Number(root.answers || 0) + 1;
    } else if (answer.what === "tabs") {
        state.tabCount = answer.count;
        view.showTabs(answer.data);
    } else if (answer.what === "learn") {
        if (answer.left.length) engine.ask({ what: "learn", diameters: answer.left });
    } else if (answer.what === "disc") {
        showDisc(answer.disc);
    } else if (answer.what === "failed") {
        showBusy(false);
        if (answer.about === "start") rescue(`The engine of this page does not start here: ${answer.message}.`);
        else showWrong(answer.message);
    }
}

function showInputs() {
    const values = { bit: state.bit, neck: state.neck, wide: state.shape.size[0], high: state.shape.size[1] };
    for (const id in values) {
        const [words, unit] = fieldWords(values[id]);
        if (document.activeElement !== by(id)) by(id).value = words;
        by(`${id}-unit`).textContent = unit;
    }
    if (document.activeElement !== by("stock")) by("stock").value = stock ? fieldWords(stock)[0] : "";
    by("stock-unit").textContent = fieldWords(stock)[1];
    by("cut").value = state.cut;
    const name = markRack(state.bit);
    by("bit-shown").textContent = told(state.bit, true) + (name && !told(state.bit, true).includes(name.replace(" in", "")) ? ` (${name})` : "");
    if (Math.abs(toSlider(state.bit) - by("slider").value) > SNAP) by("slider").value = toSlider(state.bit);
    by("slider").setAttribute("aria-valuetext", by("bit-shown").textContent);
    const tabs = document.querySelector("[data-layer=tabs]");
    tabs.disabled = state.cut === "pocket"; // nothing comes loose in a pocket
    tabs.checked = state.tabs && !tabs.disabled;
}

// The sheet, with the art in its lower left corner as near as margin and bit allow.
function sheetBox() {
    const off = margin + (state.cut === "outside" ? state.bit : 0);
    return sheetWide > 0 ? [-off, -off, sheetWide - off, sheetHigh - off] : [0, 0, 0, 0];
}

// By default the least neck is the bit's diameter, or the stock's thickness if that is more.
function fitQuestion(skip) {
    const fromStock = !state.neckGiven && stock > state.bit;
    if (!state.neckGiven) state.neck = fromStock ? stock : state.bit;
    return { what: "fit", cut: CUTS.indexOf(state.cut), bit: state.bit, neck: state.neck, blunt, fromStock, sheet: sheetBox(), skip,
        shapes: ["corners", ...(isShown("reach") ? [state.cut === "outside" ? "way" : "reach"] : []), ...(isShown("path") ? ["way"] : [])] };
}

function isShown(layer) {
    return document.querySelector(`[data-layer=${layer}]`).checked;
}

// While the slider moves shapes may be as coarse as the screen does not show.
function ask(moving = false) {
    const question = fitQuestion(moving ? view.pixel / 4 : 0);
    later.stop();
    state.marked = "";
    if (job.on) jobKeep();
    waysStale();
    showInputs();
    showBusy(true);
    engine.ask(question);
    clearTimeout(state.rest);
    if (moving) state.rest = setTimeout(ask, REST_MS);
}

// While nobody asks, the engine learns about diameters from the slider's ends inwards, once for
// each shape and cut; a sheet whose edge moves with the bit makes it forget at once.
function learn() {
    const about = JSON.stringify([state.cut, state.shape.factor, state.shape.wide, [...state.off]]);
    if (about === state.learnt || state.answer.result.milliseconds > LEARN_MOST_MS || (sheetWide > 0 && state.cut === "outside")) return;
    state.learnt = about;
    const steps = [1, 0];
    for (let apart = .5; apart > .05; apart /= 2) for (let at = apart; at < 1; at += 2 * apart) steps.push(at);
    const least = slider.least, most = 2 * slider.most;
    engine.ask({ what: "learn", diameters: steps.map((share) => least * (most / least) ** share) });
}

// What is asked for of tabs; null for none.
function tabsAsked() {
    if (!state.tabs || state.cut === "pocket") return null;
    return data.tabs ? { count: data.tabs.count, width: doublesOf(data.tabs.width)[0] } : { count: 0, width: 0 };
}

function askTabs() {
    const tabs = tabsAsked();
    if (tabs) engine.ask({ what: "tabs", ...tabs });
    else view.showTabs("");
}

function shapeQuestion(wide = state.wide) {
    const sized = data.options.some(([name]) => SIZES.includes(name));
    return { what: "shape", off: [...state.off], factor: state.shape.factor, wide, unit: data.inch ? MM_PER_INCH : 1,
        round: sized || state.shape.factor !== 1, whole: [wide0, high0] };
}

function reshape() {
    engine.ask(shapeQuestion());
    ask();
}

// What takes longer and comes after the answer, of the very shape that it is about.
function askRest() {
    const shape = { ...shapeQuestion(state.shape.wide), factor: state.shape.factor };
    const question = { shape, fit: fitQuestion(0), tabs: tabsAsked(), answers: Number(document.documentElement.dataset.answers || 0) + 1 };
    if (data.marked && !isChanged()) printable(data.marked, question.answers); // as it was written, with its notes
    else later.ask({ what: "marked", ...question, note: data.command ? `The command for this: ${commandWords().join(" ")}` : "Changed in the page." });
    if (isChanged() || !state.answer.result.spots.length || !data.ways) {
        later.ask({ what: "ways", ...question, neck: state.neckGiven ? state.neck : 0, stock, words: wayWords() });
    } else {
        showWays(data.ways, "");
    }
}

// ---- controls --------------------------------------------------------------------------------

function toSlider(bit) {
    return Math.round(1000 * Math.log(bit / slider.least) / Math.log(slider.most / slider.least));
}

// Sets a length in the words that the command will show, so that both mean the same.
function setLength(id, words) {
    state.words[id] = withUnit(words);
    state[id] = readLength(state.words[id]);
}

function fromSlider(value) {
    const near = rack.find(({ diameter }) => Math.abs(toSlider(diameter) - value) <= SNAP);
    if (near) return lengthWords(near.diameter, 6);
    return lengthWords(slider.least * (slider.most / slider.least) ** (value / 1000), data.inch ? 4 : 3);
}

// What is wrong with a length, and what is good.
function lengthFault(words, most) {
    if (!data.inch && isBareFraction(words)) return `${words.trim()} of what? Say ${words.trim()}in for inches; millimetres are whole or decimal numbers`;
    if (isNaN(readLength(words))) return "A length is a number with mm, cm or in, such as 3.2mm or 1/8in";
    return `From ${lengthWords(SMALLEST_MM)} to ${lengthWords(most, 1)} is good here`;
}

function listenLength(id, then) {
    by(id).addEventListener("change", () => {
        const words = by(id).value, length = readLength(words);
        const most = id === "wide" || id === "high" ? 10 * LARGEST_MM : LARGEST_MM;
        const good = length >= SMALLEST_MM && length <= most;
        const follow = id === "neck" && !words.trim(); // an empty field: as the bit
        by(id).setAttribute("aria-invalid", !good && !follow);
        showWrong(good || follow ? "" : lengthFault(words, most));
        if (good) (id === "bit" ? setBit(words) : setLength(id, words));
        if (id === "neck" && (good || follow)) state.neckGiven = !follow;
        if (good || follow) then();
    });
    by(id).addEventListener("blur", showInputs);
}

// The least neck is the stock's: it stays when the bit is another one.
function setBit(words) {
    if (!state.neckGiven) {
        setLength("neck", lengthWords(state.neck, 6));
        state.neckGiven = true;
    }
    setLength("bit", words);
}

function chooseBit(words) {
    setBit(words);
    ask();
}

// What was decoded in this page is traced anew, as the command does it.
function resize(side) {
    if (job.on && !data.widened) jobResize(side, state.words[side]);
    else reshape();
}

function chooseWidth(words) {
    setLength("wide", words);
    resize("wide");
}

function applyLayers() {
    for (const { dataset: { layer }, checked } of document.querySelectorAll("[data-layer]")) {
        view.showLayer(layer, checked || layer === "tabs");
    }
}

function listenLayers() {
    for (const box of document.querySelectorAll("[data-layer]")) {
        const name = box.dataset.layer;
        box.addEventListener("change", () => {
            if (name === "tabs") state.tabs = box.checked;
            applyLayers();
            if (["tabs", "reach", "path"].includes(name)) ask(); // the engine gives what is shown
            else if (state.answer) showLegend(state.answer.result);
        });
    }
}

function listenControls() {
    by("controls").addEventListener("submit", (event) => event.preventDefault());
    by("slider").addEventListener("input", () => {
        setBit(fromSlider(Number(by("slider").value)));
        ask(true);
    });
    by("slider").addEventListener("change", () => ask());
    listenLength("bit", () => ask());
    listenLength("neck", () => ask());
    listenLength("wide", () => resize("wide"));
    listenLength("high", () => resize("high"));
    by("cut").addEventListener("change", () => { state.cut = by("cut").value; ask(); });
    listenLayers();
    by("again").addEventListener("click", () => {
        Object.assign(state, asked, { words: {}, off: new Set(), shape: shape0 });
        showOff();
        reshape();
        view.whole();
    });
}

async function copy(button, words) {
    try {
        await navigator.clipboard.writeText(words);
    } catch { // from disk some browsers have no clipboard
        const held = Object.assign(document.createElement("textarea"), { value: words, className: "held" });
        document.body.append(held);
        held.select();
        document.execCommand("copy");
        held.remove();
    }
    const before = button.textContent;
    if (before === "Copied") return;
    button.textContent = "Copied";
    setTimeout(() => { button.textContent = before; }, 1500);
}

function listenView() {
    by("nearer").addEventListener("click", () => view.zoom(1 / 1.4));
    by("farther").addEventListener("click", () => view.zoom(1.4));
    by("whole").addEventListener("click", () => view.whole());
    by("copy").addEventListener("click", () => copy(by("copy"), commandWords().join(" ")));
    by("print-it").addEventListener("click", printNow);
    window.addEventListener("beforeprint", printPrepare);
    document.addEventListener("keydown", (event) => { if (event.key === "Escape") deselect(); });
}

function listenDrawing() {
    by("view").addEventListener("keydown", key);
    listenFinger();
}

function deselect() {
    if (!state || state.selected < 0) return;
    state.selected = -1;
    by("chosen").textContent = "";
    showDisc(null);
    show();
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

function showFixedWords() {
    by("notes").replaceChildren(...data.notes.map((note) => Object.assign(document.createElement("p"), { className: "small", textContent: note })));
    by("caution").textContent = data.caution;
    by("account").textContent = data.change ? data.change.words : "";
    document.querySelector("[data-layer=picture]").parentNode.hidden = !data.picture;
    document.querySelector("[data-layer=before]").parentNode.hidden = !data.change;
}

// Starts anew with art and what was asked of it; `off`: pieces that are left out.
function begin(told, off = new Set()) {
    for (const worker of [engine, later && later.engine]) if (worker) worker.end();
    if (view) view.end();
    data = told;
    [wide0, high0, bit0, neck0, blunt, stock, sheetWide, sheetHigh, margin] = doublesOf(data.sizes);
    // A bit that the command did not name is the one that it names from here on, to the last bit.
    bit1 = given("bit") ? bit0 : readLength(lengthWords(bit0, 6));
    neck1 = neck0 === bit0 ? bit1 : neck0;
    const numbers = doublesOf(data.drawing);
    paths = readDrawing(numbers);
    pieceCount = new Set(paths.map(({ piece }) => piece)).size;
    rack = data.rack.filter(({ diameter }) => diameter > SMALLEST_MM); // a point cuts nothing
    slider = { least: .6 * Math.min(.8, bit0, ...rack.map(({ diameter }) => diameter)), most: Math.max(12.7, 1.5 * bit0) };
    asked = { cut: data.cut, bit: bit1, neck: neck1, neckGiven: data.neckGiven, wide: null, tabs: !!data.tabs };
    shape0 = { corner: [0, 0], size: [wide0, high0], factor: 1, wide: null };
    state = { ...asked, words: {}, off, selected: -1, shape: shape0, answer: null, marked: "", disc: null };
    by("view").replaceWith(by("view").cloneNode(false)); // nothing of art before it listens any more
    for (const id of ["main", "ways-out"]) by(id).hidden = false;
    view = new View(by("view"), { size: [wide0, high0], paths, numbers: data.pieces,
        change: data.change, picture: data.picture && { ...data.picture, place: doublesOf(data.picture.place) } }, togglePiece);
    const art = { art: data.art, inch: data.inch, size: [wide0, high0], doubts: data.doubts, drawing: numbers, pieceCount,
        rack: data.rack, rackNumbers: doublesOf(data.rackNumbers) };
    engine = new Engine(by("engine").textContent, art, answered);
    later = new Later(art);
    showFixedWords();
    showRack(rack, ({ diameter }) => chooseBit(lengthWords(diameter, 6)));
    showPieces();
    listenDrawing();
    applyLayers();
    reshape();
}

listenControls();
listenView();
if (written) begin(written);
else startJob();
document.documentElement.dataset.runs = "";
