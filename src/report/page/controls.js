// The controls of size, cut and bit.
const LENGTHS_OF_ART = ["wide", "high"];

// Whether the length is one that somebody gave; what is left of art keeps its scale, and so has a length of more decimals.
function isGiven(id) {
    return state.options.has(id) && !/\.\d{4}/.test(state.options.get(id));
}

// `moving`: only the bit and what goes with it.
function showInputs(moving = false) {
    const values = { bit: state.bit, neck: state.neck, ...(moving ? {} : { wide: state.shape.size[0], high: state.shape.size[1] }) };
    for (const id in values) {
        const [words, unit] = fieldWords(values[id], !LENGTHS_OF_ART.includes(id) || isGiven(id));
        if (document.activeElement !== by(id)) by(id).value = words;
        sayIn(`${id}-unit`, unit);
    }
    if (!moving) {
        showOptions();
        showInk();
    }
    const name = markRack(state.bit), bit = told(state.bit, true);
    sayIn("bit-shown", bit + (name && !bit.includes(name.replace(" in", "")) ? ` (${name.replace(" ", "\u00a0")})` : ""));
    if (Math.abs(toSlider(state.bit) - by("slider").value) > SNAP) by("slider").value = toSlider(state.bit);
    by("slider").setAttribute("aria-valuetext", by("bit-shown").textContent);
}

// Fields and choices that are an option each, by their data-option: its words, without the unit that stands beside it.
function showOptions() {
    for (const field of document.querySelectorAll("[data-option]")) {
        const name = field.dataset.option, words = state.options.get(name);
        if (field === document.activeElement && field.type === "text") continue;
        if (field.type === "checkbox") field.checked = words !== undefined;
        else if (field.type === "text") field.value = (words || "").split(",").map(withoutUnit).join(", ");
        else field.value = words === undefined ? field.dataset.usual || "" : words;
        field.disabled = state.cut === "pocket" && isOf(name, "hold"); // nothing comes loose in a pocket
    }
    by("unit").value = inch ? "in" : "mm";
    for (const unit of document.querySelectorAll("[data-unit]")) unit.textContent = inch ? "in" : "mm";
}

// A length in the unit that stands beside the field.
function withoutUnit(words) {
    return words.replace(/^([\d. /-]+)(mm|in)$/, (all, number, unit) => (unit === (inch ? "in" : "mm") ? number : all));
}

function toSlider(bit) {
    return Math.round(1000 * Math.log(bit / slider.least) / Math.log(slider.most / slider.least));
}

function fromSlider(value) {
    const near = rack.find(({ diameter }) => Math.abs(toSlider(diameter) - value) <= SNAP);
    if (near) return lengthWords(near.diameter, 6);
    return lengthWords(slider.least * (slider.most / slider.least) ** (value / 1000), inch ? 4 : 3);
}

// Changes what a field is about; one that means nothing says so there, and what was good goes on working.
function changeBy(field, changes, then) {
    const fault = change(changes);
    field.setAttribute("aria-invalid", !!fault);
    showWrong(fault);
    if (!fault) then();
}

const LENGTHS = { bit: bitChanges, neck: (words) => ({ neck: words }), wide: (words) => ({ wide: words, high: null, ppi: null }), high: (words) => ({ high: words, wide: null, ppi: null }) };

// The least neck may be left empty: it follows bit and stock.
function listenLength(id) {
    by(id).addEventListener("change", () => {
        const words = by(id).value.trim();
        if (words || id === "neck") changeBy(by(id), LENGTHS[id](words ? withUnit(words) : null), reask);
    });
    by(id).addEventListener("blur", () => showInputs());
}

// The least neck is the stock's: it stays when the bit is another one.
function bitChanges(words) {
    return { bit: words, ...(state.neckGiven ? {} : { neck: lengthWords(state.neck, 6) }) };
}

function chooseBit(words) {
    showWrong(change(bitChanges(words)));
    ask();
}

function chooseWidth(words) {
    showWrong(change(LENGTHS.wide(words)));
    reask();
}

function applyLayers() {
    for (const { dataset: { layer }, checked } of document.querySelectorAll("[data-layer]")) view.showLayer(layer, checked);
}

function listenLayers() {
    for (const box of document.querySelectorAll("[data-layer]")) {
        const name = box.dataset.layer;
        box.addEventListener("change", () => {
            applyLayers();
            if (["reach", "path"].includes(name)) ask(); // the engine gives what is shown
            else if (state.answer) showLegend(state.answer.result);
        });
    }
}

// What a field with an option says: null where it is empty, or as usual.
function optionSaid(field) {
    const name = field.dataset.option, words = field.type === "checkbox" ? field.checked && (field.dataset.words || "") : field.value.trim();
    if (words === false || (field.type !== "checkbox" && (!words || words === field.dataset.usual))) return null;
    const { argument } = table.get(name);
    if (argument === "SIZE") return words.split(/\s*[,x\u00d7;]\s*/).map(withUnit).join(",");
    return field.type === "text" && /LENGTH|THICKNESS|WIDTH|DIAMETER/.test(argument) ? withUnit(words) : words;
}

// An option with those that mean nothing beside it, or without it.
function optionChanges(name, words) {
    const ended = { ppi: ["wide", "high"], "bridge-count": ["bridge-at"], tabs: ["tab-at"], bridge: words ? [] : ["bridge-at", "bridge-count"] }[name] || [];
    return { ...Object.fromEntries(ended.map((one) => [one, null])), [name]: words };
}

function listenOptions() {
    for (const field of document.querySelectorAll("[data-option]")) {
        field.addEventListener("change", () => {
            if (!state) jobOption(field);
            else changeBy(field, optionChanges(field.dataset.option, optionSaid(field)), reask);
        });
        if (field.type === "text") field.addEventListener("blur", () => state && showInputs());
    }
}

function listenControls() {
    by("controls").addEventListener("submit", (event) => event.preventDefault());
    listenSlide();
    for (const id in LENGTHS) listenLength(id);
    listenOptions();
    listenInk();
    listenCharts();
    by("unit").addEventListener("change", () => {
        const changes = { inch: by("unit").value === "in" ? "" : null };
        if (state) changeBy(by("unit"), changes, reask);
        else if (changes.inch === null) job.options.delete("inch");
        else job.options.set("inch", "");
    });
    listenLayers();
    by("undo").addEventListener("click", () => pastGo(-1));
    by("redo").addEventListener("click", () => pastGo(1));
    by("again").addEventListener("click", () => {
        stateTake(JSON.parse(first));
        view.whole();
    });
}
