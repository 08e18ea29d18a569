// Tools for the drawing: a circle of the bit's size to drag along the outlines, and a ruler between two points, which
// take the outline where it is near. By mouse, finger, or keys: arrows move the cross, Enter sets it down.
const TOOL_NEAR = 9, TOOL_GRIP = 22, TOOL_STEP = 5; // pixels: taken for the outline; for an end; with each arrow
const TOOLS = { circle: "circle", ruler: "ruler", tab: "tab-hand", bridge: "bridge-hand" }; // their buttons
const tool = { name: "", ends: [], held: -1, at: null, asked: [] }; // asked: ends whose place of the outline is looked for

// Another tool, or none.
function toolPick(name) {
    Object.assign(tool, { name: tool.name === name ? "" : name, ends: [], held: -1, at: null, asked: [] });
    for (const one in TOOLS) by(TOOLS[one]).setAttribute("aria-pressed", tool.name === one);
    showDisc(null);
    if (state.answer) showHolding(state.answer.result);
    toolShow();
    view.takes = tool.name ? toolPointer : null;
    view.onPlace = toolShow;
    if (tool.name) by("view").focus({ preventScroll: true });
}

function toolPointer(phase, at) {
    tool.at = null;
    toolTo(phase, at);
}

function toolTo(phase, at) {
    if (tool.name === "circle") {
        if (phase !== "up") askDisc(...at);
        return;
    }
    if (tool.name in HOLDS) {
        holdTo(phase, at);
        return;
    }
    const apart = (end) => Math.hypot(end[0] - at[0], end[1] - at[1]) / view.pixel;
    if (phase === "down") {
        const [a, b] = tool.ends, near = tool.ends.findIndex((end) => apart(end) < TOOL_GRIP);
        if (a && a.join() === b.join()) tool.held = 1; // the second tap
        else if (near >= 0) tool.held = near;
        else Object.assign(tool, { ends: [at, at], held: 1 });
    }
    tool.ends[tool.held] = at;
    if (phase === "up") {
        if (apart(tool.ends[1 - tool.held]) < 3) tool.ends = [at, at]; // only tapped
        tool.asked = [0, 1];
        askDisc(...tool.ends[0]);
    }
    toolShow();
}

// The nearest place of the outline, for one end and then for the other.
function toolSnap(disc) {
    const one = tool.asked.shift(), end = tool.ends[one];
    if (!end) return;
    if (disc && Math.hypot(disc.at[0] - end[0], disc.at[1] - end[1]) < TOOL_NEAR * view.pixel) {
        if (tool.ends[0].join() === tool.ends[1].join()) tool.ends = [disc.at, disc.at];
        else tool.ends[one] = disc.at;
    }
    if (tool.asked.length) askDisc(...tool.ends[tool.asked[0]]);
    toolShow();
}

function toolShow() {
    view.showRuler(tool.name === "ruler" ? tool.ends : [], tool.at);
    if (tool.name in HOLDS && state.answer && tool.held < 0) view.showGrips(HOLDS[tool.name].places());
    if (tool.name !== "ruler") return;
    const [[x1, y1], [x2, y2]] = tool.ends.length ? tool.ends : [[0, 0], [0, 0]];
    const along = [x2 - x1, y2 - y1];
    sayHere(along[0] || along[1] ? `Apart: ${told(Math.hypot(...along))}; across ${told(Math.abs(along[0]))}, up ${told(Math.abs(along[1]))}`
        : tool.ends.length ? "Now the other end" : "Drag from one place to the other, or tap both");
}

// Whether a key was for the tool.
function toolKey({ key, shiftKey }) {
    if (!tool.name) return false;
    const along = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[key];
    if (key !== "Enter" && !along) return false;
    const step = TOOL_STEP * (shiftKey ? 6 : 1) * view.pixel, at = tool.at || [view.x, view.y];
    tool.at = along ? [at[0] + along[0] * step, at[1] + along[1] * step] : at;
    if (tool.name === "circle") toolTo("move", tool.at);
    else if (key === "Enter") for (const phase of ["down", "up"]) toolTo(phase, tool.at);
    view.show(tool.at);
    toolShow();
    return true;
}

function listenTools() {
    for (const name in TOOLS) by(TOOLS[name]).addEventListener("click", () => toolPick(name));
}
