// The slider, from its first move until it is let go: meanwhile no box of the page changes its size, so that nothing jumps
// under the hand. What no longer fits in its box can be scrolled there.

// on: it is held, or has the focus of keys that moved it; boxes: those as large as what they say, while their sizes are
// fixed; keys: those of the legend that keep their places.
const slide = { on: false, boxes: [], keys: [] };

function slideBegin() {
    slide.on = true;
    if (slide.boxes.length) return;
    slide.boxes = [...document.querySelectorAll(".varies")];
    slideKeys();
    const sizes = slide.boxes.map((box) => box.getClientRects()[0]);
    for (const [k, box] of slide.boxes.entries()) {
        box.classList.add(sizes[k] ? "still" : "out");
        if (sizes[k]) Object.assign(box.style, { width: `${sizes[k].width}px`, height: `${sizes[k].height}px` });
    }
}

// The legend's keys, too, stay where they are, seen or not; those that come meanwhile come last.
function slideKeys() {
    if (!slide.boxes.length) return;
    for (const key of by("legend").children) {
        if (key.hidden || slide.keys.includes(key)) continue;
        key.style.order = slide.keys.push(key);
        key.classList.add("kept");
    }
}

// Boxes are free again once the answer to the last move is whole.
function slideEnd() {
    if (!slide.on) return;
    slide.on = false;
    if (state.answer.skip === 0 && engine.idle) slideSettle();
}

function slideSettle() {
    if (slide.on) return;
    openSteps(state.answer.result);
    for (const key of slide.keys.splice(0)) {
        key.classList.remove("kept");
        key.style.order = "";
    }
    for (const box of slide.boxes.splice(0)) {
        box.classList.remove("still", "out");
        Object.assign(box.style, { width: "", height: "" });
    }
}

function listenSlide() {
    by("slider").addEventListener("input", () => {
        change(bitChanges(fromSlider(Number(by("slider").value))));
        slideBegin();
        ask(true);
    });
    by("slider").addEventListener("change", () => ask());
    // Later, so that the click that takes the focus away finds its target.
    for (const name of ["pointerup", "pointercancel"]) document.addEventListener(name, () => setTimeout(slideEnd));
    document.addEventListener("keyup", () => { if (document.activeElement !== by("slider")) slideEnd(); });
}
