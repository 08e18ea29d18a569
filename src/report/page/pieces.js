// Leaving pieces out: in the drawing, and in a list for those without a mouse.

const PIECES_LISTED = 200;

function togglePiece(piece) {
    if (!data.numbers.length) return;
    if (!state.off.delete(piece) && state.off.size + 1 < pieceCount) state.off.add(piece);
    offChanged();
}

// All that was taken for lettering, or for a frame, at once; never all that there is.
function toggleGuess(guess, keep) {
    const pieces = droppedPieces(guess), off = new Set([...state.off].filter((piece) => !pieces.has(piece)));
    if (!keep) for (const piece of pieces) off.add(piece);
    if (off.size < pieceCount) state.off = off;
    offChanged();
}

// What is left keeps its scale, so that the art's size is another one, unless something else says the scale.
function offChanged() {
    const { factor } = state.shape, sized = factor !== 1 || state.options.has("wide") || state.options.has("high");
    showOff();
    engine.ask({ what: "shape", off: [...state.off], factor, ...(sized && { unit: inch ? MM_PER_INCH : 1 }) });
    ask();
}

function showOff() {
    view.ink.show(state.off);
    for (const box of by("pieces-list").querySelectorAll("input")) box.checked = !state.off.has(Number(box.value));
    for (const box of by("guesses").querySelectorAll("input")) box.checked = [...droppedPieces(box.value)].some((piece) => !state.off.has(piece));
    by("pieces-head").textContent = `Pieces (${pieceCount}${state.off.size ? `, ${state.off.size} left out` : ""})`;
    offerPiece(null);
}

// For a finger, which taps to measure as well.
function offerPiece(piece) {
    const offer = piece !== null && pieceCount > 1;
    by("leave").hidden = !offer;
    by("pointer").hidden = !offer && !by("here").textContent;
    if (!offer) return;
    by("leave").textContent = state.off.has(piece) ? `Take piece ${numberOf(piece)} back` : `Leave piece ${numberOf(piece)} out`;
    by("leave").onclick = () => togglePiece(piece);
}

function pieceSizes() {
    const boxes = new Map();
    for (const path of paths) {
        const box = boxes.get(path.piece) || { x: [Infinity, -Infinity], y: [Infinity, -Infinity] };
        for (const step of path.steps) {
            box.x = [Math.min(box.x[0], step[5]), Math.max(box.x[1], step[5])];
            box.y = [Math.min(box.y[0], step[6]), Math.max(box.y[1], step[6])];
        }
        boxes.set(path.piece, box);
    }
    return boxes;
}

// Where in the picture a piece is, and how wide: told from what the picture's pixels became. So pieces that are left out
// stay so when the outlines are made anew, whatever their numbers are then.
function pieceMarks() {
    const [a, b, c, d, e, f] = data.place;
    return new Map([...pieceSizes()].map(([piece, { x, y }]) => {
        const [p, q] = [(x[0] + x[1]) / 2 - e, (y[0] + y[1]) / 2 - f];
        return [piece, [(d * p - c * q) / (a * d - b * c), (a * q - b * p) / (a * d - b * c), (x[1] - x[0] + y[1] - y[0]) / Math.hypot(a, b)]];
    }));
}

function marksOff() {
    const marks = state.off.size ? pieceMarks() : new Map();
    return [...state.off].map((piece) => marks.get(piece));
}

function markedPieces(wanted) {
    const same = (one, other) => Math.hypot(one[0] - other[0], one[1] - other[1]) < .05 * one[2] + 2 && Math.abs(one[2] - other[2]) < .1 * one[2] + 2;
    return wanted.length ? [...pieceMarks()].filter(([, mark]) => wanted.some((one) => same(one, mark))).map(([piece]) => piece) : [];
}

function pieceItem(piece, { x, y }) {
    const label = document.createElement("label");
    const box = Object.assign(document.createElement("input"), { type: "checkbox", checked: true, value: piece });
    const about = (mm) => inch ? (mm / MM_PER_INCH).toFixed(2) : mm.toFixed(mm < 10 ? 1 : 0);
    box.addEventListener("change", () => {
        togglePiece(piece);
        box.checked = !state.off.has(piece); // the last one stays
    });
    for (const [name, lit] of [["pointerenter", true], ["focusin", true], ["pointerleave", false], ["focusout", false]]) {
        label.addEventListener(name, () => view.ink.lit(piece, lit));
    }
    label.append(box, ` ${numberOf(piece)}: ${about(x[1] - x[0])} \u00d7 ${about(y[1] - y[0])} ${inch ? "in" : "mm"}`);
    const item = document.createElement("li");
    item.append(label);
    return item;
}

// A box for each kind of piece that is hardly art, where some pieces are of that kind and some are not.
function guessItem([guess, words]) {
    const count = droppedPieces(guess).size;
    if (!count || count === pieceCount) return null;
    const label = Object.assign(document.createElement("label"), { className: "line" });
    const box = Object.assign(document.createElement("input"), { type: "checkbox", value: guess });
    box.addEventListener("change", () => toggleGuess(guess, box.checked));
    label.append(box, ` ${words} (${count})`);
    return label;
}

function showPieces() {
    const several = pieceCount > 1;
    by("guesses").replaceChildren(...Object.entries({ frame: "frame", lettering: "lettering", edge: "what touches the picture's edge", dust: "dust" }).map(guessItem).filter(Boolean));
    by("pieces").hidden = !several;
    if (several) {
        const sizes = [...pieceSizes()].sort(([a], [b]) => numberOf(a) - numberOf(b));
        by("pieces-list").replaceChildren(...sizes.slice(0, PIECES_LISTED).map(([piece, box]) => pieceItem(piece, box)));
        by("pieces-more").textContent = pieceCount > PIECES_LISTED ? `The list ends at ${PIECES_LISTED} of ${pieceCount} pieces; the others can be clicked in the drawing.` : "";
    }
    showOff();
}
