// The page: what the reader asks for, and the engine's answer in words and in the drawing.
const by = (id) => document.getElementById(id);
const SNAP = 3; // steps of the slider: so near a bit of the rack is meant
const SMALLEST_MM = .01; // less is a point, and cuts nothing
const LAG_MS = 400; // less is not noticed
const LEARN_MOST_MS = 2000; // of one fit; beyond, what asks next would wait too long
const SEEN_MS = 60; // until an answer is on the screen: what comes after it begins then
const REST_MS = 200; // after the last move of the slider
// What the page is about, set by begin(). begun: the state that this began with, as it is kept; first: the one that the art came with.
let data, paths, pieceCount, rack, slider, begun, first, state, view, engine, later;

function showFixedWords() {
    by("caution").textContent = front.caution();
    by("picture-gist").replaceChildren(Object.assign(document.createElement("bdi"), { textContent: artGiven().art.replace(/^.*\//, "") }));
    by("account").textContent = data.change ? data.change.words : "";
    document.querySelector("[data-layer=picture]").parentNode.hidden = !data.picture;
    document.querySelector("[data-layer=before]").parentNode.hidden = !data.change;
}

// The bits, as wide as they cut at the top of the stock.
function showBits() {
    const bits = front.rackTake({ rack: data.rack, rackNumbers: doublesOf(data.rackNumbers) }).rack;
    rack = bits.filter(({ diameter }) => diameter > SMALLEST_MM);
    slider = { least: .6 * Math.min(.8, state.bit, ...rack.map(({ diameter }) => diameter)), most: Math.max(12.7, 1.5 * state.bit) };
    showRack(rack, ({ diameter }) => chooseBit(lengthWords(diameter, 6)));
}

// For an engine of its own.
function rackAsked() {
    return { rack: data.rack, rackNumbers: [...doublesOf(data.rackNumbers)] };
}

// Workers are taken over where they have nothing to do.
function startEngines(art) {
    if (engine && engine.idle) engine.ask({ what: "start", ...art });
    else {
        if (engine) engine.end();
        engine = new Engine(art, answered);
    }
    if (later) later.end();
    later = new Later(art);
}

// New art is shown with its verdict, where that is there soon: each picture of the screen before takes time of its own.
function showNew() {
    document.documentElement.dataset.fresh = "";
    setTimeout(showAll, LAG_MS);
    resetSteps();
}

function showAll() {
    delete document.documentElement.dataset.fresh;
    view.showPicture();
}

// Starts anew with art and what is asked of it, a state as it is kept; `same`: the art was here before.
function begin(told, kept, same = false) {
    const place = same && view && [view.x, view.y, view.height].map((mm) => mm / state.shape.size[0]);
    if (view) view.end();
    if (!same) Object.assign(past, { states: [], at: -1 });
    if (!same || told.before !== data.before) waysGone();
    data = told;
    const numbers = doublesOf(data.drawing), size = [...doublesOf(data.size)], choices = kept.choices;
    paths = readDrawing(numbers);
    const firsts = firstsOf(data.numbers);
    for (const path of paths) path.piece = firsts[path.piece] ?? path.piece;
    pieceCount = allPieces().length;
    state = { options: new Map(), off: new Set(), choices, placed: kept.placed || 0, selected: -1, shape: { corner: [0, 0], size, factor: 1 }, answer: null, disc: null };
    showWrong(change(Object.fromEntries(kept.options.map(([name, words]) => [name, words || ""]))));
    const gone = new Set(kept.off), all = allPieces();
    state.off = new Set([...droppedPieces(kept.drop || ""), ...(kept.marks ? markedPieces(kept.marks) : all.filter((piece) => gone.has(numberOf(piece))))]);
    state.sized = SIZES.map((name) => state.options.get(name)).join();
    if (!state.placed && Object.values(HOLDS).some(({ at }) => state.options.has(at))) state.placed = size[0];
    data.told = JSON.stringify([state.options.get("drop") || "", told.before ? "[]" : 0]); // when they were made
    begun = JSON.stringify(stateKept());
    if (!same) first = begun;
    by("view").replaceWith(by("view").cloneNode(false)); // nothing of art before it listens any more
    by("main").hidden = false;
    delete document.documentElement.dataset.empty;
    if (!same) showNew();
    view = new View(by("view"), { size, paths, numberOf,
        change: data.change, picture: data.picture && { ...data.picture, place: doublesOf(data.picture.place) } }, togglePiece);
    if (same) view.showPicture();
    startEngines({ art: data.art, size, doubts: data.doubts, notes: data.notes, drawing: numbers, numbers: data.numbers, firsts, ...rackAsked() });
    showFixedWords();
    showBits();
    showPieces();
    planShow(null);
    by("unwiden").hidden = !data.before;
    listenDrawing();
    view.onBalloons = showBalloonCount;
    toolPick("");
    applyLayers();
    reshape();
    if (place) view.place(...place.map((share) => share * size[0]));
}

listenControls();
listenChoice();
listenPlan();
listenView();
listenSteps();
listenTools();
frontStart().then(() => {
    startJob();
    document.documentElement.dataset.runs = "";
}).catch((error) => rescue(`The engine of this page does not start here: ${error.message}.`));
