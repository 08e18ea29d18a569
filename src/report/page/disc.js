// The largest circle at a place of the outline, beside the bit, and what is offered there.

const DISC_LIMIT_MM = 500; // a larger one is told as open

function showDisc(disc) {
    if (tool.name === "ruler") {
        toolSnap(disc);
        disc = null;
    }
    state.disc = disc;
    view.showFinger(disc, state.bit);
    let words = "";
    if (disc && disc.open) words = "Nothing stands in a circle's way here";
    else if (disc) {
        const fits = disc.radius >= state.bit / 2 - .0025;
        words = `Largest circle here: ${told(2 * disc.radius)}; the ${told(state.bit, true)} bit ${fits ? "cuts" : "does not cut"} this place`;
    }
    if (!(tool.name in HOLDS) && tool.name !== "ruler") sayHere(words);
}

function sayHere(words) {
    by("here").textContent = words;
    by("pointer").hidden = !words && by("leave").hidden;
}

function askDisc(x, y) {
    engine.ask({ what: "disc", x, y, limit: DISC_LIMIT_MM });
}

// A mouse without a tool shows the circle wherever it goes; a finger, where it taps.
function listenFinger() {
    by("view").addEventListener("pointermove", (event) => {
        if (event.pointerType === "mouse" && !(tool.name in HOLDS) && tool.name !== "ruler") askDisc(...view.toMillimetres(event));
    });
    by("view").addEventListener("pointerleave", (event) => { if (event.pointerType === "mouse" && !tool.name) showDisc(null); });
    by("view").addEventListener("pointerup", (event) => {
        if (event.pointerType === "mouse" || view.moved || tool.name) return;
        askDisc(...view.toMillimetres(event));
        offerPiece(view.pieceAt(event));
    });
}
