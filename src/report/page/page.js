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
    by("main").hidden = false;
    delete document.documentElement.dataset.empty;
    resetSteps();
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
    view.onBalloons = showBalloonCount;
    toolPick("");
    applyLayers();
    reshape();
}

listenControls();
listenView();
listenSteps();
listenTools();
if (written) begin(written);
else startJob();
document.documentElement.dataset.runs = "";
