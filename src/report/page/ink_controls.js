// Controls of what in the picture is art: the level, a colour that is touched in the picture, and the rack of the reader's
// own.

// Where ink ends and paper begins: found, by neighbourhood, or at a grey level from the slider.
function showInk() {
    const level = state.options.get("level"), given = level !== undefined && level !== "local", ink = state.options.get("ink");
    by("level-how").value = given ? "given" : level || "auto";
    by("level").disabled = !given;
    if (given) by("level").value = level;
    by("level-shown").textContent = given ? level : "";
    const colour = /^#/.test(ink || ""), last = by("ink").lastElementChild;
    if (colour && last.value !== ink) {
        if (last.dataset.colour !== undefined) last.remove();
        by("ink").append(Object.assign(new Option(`the colour ${ink}`, ink)));
        by("ink").lastElementChild.dataset.colour = "";
    }
    if (colour) by("ink").value = ink;
    by("swatch").style.background = colour ? ink : "";
    showDrawn();
    by("drawn-too").hidden = !data.doubts.slice(1).some((count) => count) && !state.options.has("skip-unread");
    if (document.activeElement !== by("rack-words")) by("rack-words").value = job.rack;
}

// What is about pixels does nothing for a drawing: it is shown where it was asked for all the same.
function showDrawn() {
    const drawn = job.remade && !data.picture;
    for (const node of document.querySelectorAll("[data-pixels]")) node.hidden = drawn && !state.options.has(node.dataset.pixels);
    by("dirt").placeholder = drawn ? "0.5mm2" : "8px";
}

// Pictures of what drawn lines may become, to choose by.
async function askLooks() {
    if (!by("lines-looks").open || !job.remade) return;
    const art = await jobArt();
    job.engine.ask({ what: "looks", ...(art && { art }), option: "lines", words: [...by("lines").options].map(({ value }) => value),
        options: [...state.options].filter(([name]) => name !== "spots") });
}

function showLooks(looks) {
    by("looks").replaceChildren(...looks.map(({ words, size, drawing }) => {
        const button = Object.assign(document.createElement("button"), { type: "button", value: words });
        const picture = element("svg", { viewBox: `0 ${-size[1]} ${size[0]} ${size[1]}`, "aria-hidden": true }, button);
        element("path", { d: readDrawing(drawing).map(pathData).join(""), "fill-rule": "evenodd", transform: "scale(1 -1)" }, picture);
        button.append([...by("lines").options].find(({ value }) => value === words).text);
        button.addEventListener("click", () => changeBy(by("lines"), { lines: words === "as-drawn" ? null : words }, reask));
        return button;
    }));
}

function setLevel(words) {
    changeBy(by("level"), { level: words }, reask);
}

// The picture's colour at a place of the drawing, "" beside it.
async function colourAt(x, y) {
    const { uri, width, height } = data.picture, { factor, corner } = state.shape;
    const [a, b, c, d, e, f] = doublesOf(data.picture.place), at = [x / factor + corner[0] - e, y / factor + corner[1] - f];
    const [u, v] = [(d * at[0] - c * at[1]) / (a * d - b * c), (a * at[1] - b * at[0]) / (a * d - b * c)].map(Math.floor);
    if (!(u >= 0 && v >= 0 && u < width && v < height)) return "";
    const image = Object.assign(new Image(), { src: uri });
    await image.decode();
    const context = Object.assign(document.createElement("canvas"), { width: 1, height: 1 }).getContext("2d");
    context.drawImage(image, -u, -v);
    return `#${[...context.getImageData(0, 0, 1, 1).data.slice(0, 3)].map((part) => part.toString(16).padStart(2, "0")).join("")}`;
}

// The next touch of the drawing tells the colour.
function pickColour() {
    const picks = by("pick").getAttribute("aria-pressed") !== "true";
    by("pick").setAttribute("aria-pressed", picks);
    if (tool.name) toolPick("");
    if (picks) sayHere("Touch the art in the picture");
    view.takes = !picks ? null : async (phase, at) => {
        if (phase !== "up") return;
        view.takes = null;
        by("pick").setAttribute("aria-pressed", false);
        sayHere("");
        const colour = await colourAt(...at);
        if (colour) changeBy(by("ink"), { ink: colour }, reask);
        else showWrong("There is no picture at that place");
    };
}

// The reader's own bits: kept by the browser, used at once.
function takeRack(words, name) {
    try {
        Object.assign(data, front.rackRead(words, name));
    } catch (error) {
        showWrong(error.message);
        return;
    }
    [job.rack, job.bits] = [words, null];
    showWrong(change({ rack: words ? name : null }));
    showBits();
    ask();
}

async function rackFile(file) {
    if (file && file.size < 1e6) takeRack(await file.text(), file.name);
}

function listenInk() {
    by("level-how").addEventListener("change", () => setLevel({ auto: null, local: "local", given: by("level").value }[by("level-how").value]));
    by("level").addEventListener("input", () => setLevel(by("level").value));
    by("lines-looks").addEventListener("toggle", askLooks);
    by("pick").addEventListener("click", pickColour);
    by("rack-words").addEventListener("change", () => takeRack(by("rack-words").value, "my-bits"));
    by("rack-file").addEventListener("change", () => rackFile(by("rack-file").files[0]));
    by("rack-save").addEventListener("click", () => jobSave({ name: "my-bits", content: by("rack-words").value }));
}
