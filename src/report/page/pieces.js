// Leaving pieces out: in the drawing, and in a list for those without a mouse.

const PIECES_LISTED = 200;

function togglePiece(piece) {
    if (!data.pieces) return;
    if (!state.off.delete(piece) && state.off.size + 1 < pieceCount) state.off.add(piece);
    state.wide = null;
    showOff();
    reshape();
}

function showOff() {
    view.ink.show(state.off);
    for (const box of by("pieces-list").querySelectorAll("input")) box.checked = !state.off.has(Number(box.value));
    by("pieces-head").textContent = `Pieces (${pieceCount}${state.off.size ? `, ${state.off.size} left out` : ""})`;
    offerPiece(null);
}

// For a finger, which taps to measure as well.
function offerPiece(piece) {
    const offer = piece !== null && data.pieces && pieceCount > 1;
    by("leave").hidden = !offer;
    by("pointer").hidden = !offer && !by("here").textContent;
    if (!offer) return;
    by("leave").textContent = state.off.has(piece) ? `Take piece ${data.pieces[piece]} back` : `Leave piece ${data.pieces[piece]} out`;
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

function pieceItem(piece, { x, y }) {
    const label = document.createElement("label");
    const box = Object.assign(document.createElement("input"), { type: "checkbox", checked: true, value: piece });
    const about = (mm) => data.inch ? (mm / MM_PER_INCH).toFixed(2) : mm.toFixed(mm < 10 ? 1 : 0);
    box.addEventListener("change", () => {
        togglePiece(piece);
        box.checked = !state.off.has(piece); // the last one stays
    });
    for (const [name, lit] of [["pointerenter", true], ["focusin", true], ["pointerleave", false], ["focusout", false]]) {
        label.addEventListener(name, () => view.ink.lit(piece, lit));
    }
    label.append(box, ` ${data.pieces[piece]}: ${about(x[1] - x[0])} \u00d7 ${about(y[1] - y[0])} ${data.inch ? "in" : "mm"}`);
    const item = document.createElement("li");
    item.append(label);
    return item;
}

function showPieces() {
    const several = data.pieces && pieceCount > 1;
    by("pieces").hidden = !several;
    if (several) {
        const sizes = [...pieceSizes()].sort(([a], [b]) => data.pieces[a] - data.pieces[b]);
        by("pieces-list").replaceChildren(...sizes.slice(0, PIECES_LISTED).map(([piece, box]) => pieceItem(piece, box)));
        by("pieces-more").textContent = pieceCount > PIECES_LISTED ? `The list ends at ${PIECES_LISTED} of ${pieceCount} pieces; the others can be clicked in the drawing.` : "";
    }
    showOff();
}
