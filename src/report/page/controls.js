// The controls of size, cut and bit.

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

