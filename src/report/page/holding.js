// Tabs and bridges by hand: a tap adds one, one that is there is dragged along or taken away. What stands after the first
// change is all there is: the command says every place.

// Of each: the option that says its places, those that it then does without, where they are now, how many places hold
// none, and what there is to do.
const HOLDS = {
    tab: { at: "tab-at", without: ["tabs"], places: tabPlaces, lost: ({ tabs }) => tabs && tabs.missing,
        hint: "Tap the outline for a tab, tap a tab to take it away, or drag it" },
    bridge: { at: "bridge-at", without: ["bridge-count"], places: bridgePlaces, lost: ({ bridges }) => bridges && bridges.nowhere,
        hint: "Tap the cut beside an island for a bridge, tap a bridge to take it away, or drag it" },
};
const BRIDGE_MM = 5; // wide, until the reader says how wide

// Places of the tabs that are shown: their lines begin half a bit within the stock and are two bits long, y down.
function tabPlaces() {
    const numbers = (state.answer.result.data.tabs || "").match(/-?[\d.]+(?:e-?\d+)?/g) || [];
    const places = [];
    for (let k = 0; k + 3 < numbers.length; k += 4) {
        const [x1, y1, x2, y2] = numbers.slice(k, k + 4).map(Number);
        places.push([x1 + (x2 - x1) / 4, -(y1 + (y2 - y1) / 4)]);
    }
    return places;
}

// The middles of the bridges.
function bridgePlaces() {
    const { bridges } = state.answer.result;
    return bridges ? bridges.places.map(({ from, to }) => from.map((mm, k) => (mm + to[k]) / 2)) : [];
}

function placesWords(places) {
    return places.map((place) => place.map((mm) => `${short(mm, 2)}mm`).join(",")).join(":");
}

function holdPut(kind, places) {
    const { at, without } = HOLDS[kind], said = (name) => state.options.has(name) ? state.options.get(name) : null;
    const changes = { ...Object.fromEntries(without.map((name) => [name, null])), [at]: places.length ? placesWords(places) : null };
    if (kind === "bridge") changes.bridge = places.length ? said("bridge") || lengthWords(BRIDGE_MM) : null;
    tool.before = Object.fromEntries(Object.keys(changes).map((name) => [name, said(name)]));
    showWrong(change(changes));
    state.placed = state.shape.size[0];
    ask();
}

function holdNear(at, places) {
    const far = places.map((place) => Math.hypot(place[0] - at[0], place[1] - at[1]) / view.pixel), nearest = far.indexOf(Math.min(...far));
    return far[nearest] < TOOL_GRIP ? nearest : -1;
}

// The tool's part: a finger or the mouse, or Enter at the cross.
function holdTo(phase, at) {
    const places = HOLDS[tool.name].places();
    if (phase === "down") Object.assign(tool, { held: holdNear(at, places), ends: [at] });
    const moved = tool.ends[0] && Math.hypot(at[0] - tool.ends[0][0], at[1] - tool.ends[0][1]) / view.pixel >= 4;
    if (phase === "move" && moved && tool.held >= 0) view.showGrips(places.map((place, k) => k === tool.held ? at : place));
    if (phase !== "up" || !tool.ends[0]) return;
    if (tool.held < 0 && !moved) holdPut(tool.name, [...places, at]);
    else if (tool.held >= 0) holdPut(tool.name, places.map((place, k) => k === tool.held ? moved && at : place).filter(Boolean));
    Object.assign(tool, { held: -1, ends: [] });
}

// The list for those without a mouse.
function showHolds(kind) {
    const places = HOLDS[kind].places();
    by(`${kind}-list`).replaceChildren(...places.map((place, k) => {
        const item = document.createElement("li"), where = place.map((mm) => told(mm)).join(", ");
        item.append(wayButton(`Remove the ${kind} at ${where}`, `Remove this ${kind}`, () => holdPut(kind, places.filter((_, other) => other !== k))));
        return item;
    }));
    by(`${kind}-hand`).disabled = state.cut === "pocket";
}

// After every answer; the grips on the drawing with it.
function showHolding(result) {
    if (state.answer.skip !== 0) return; // while the slider moves what stands stays
    const hold = HOLDS[tool.name];
    Object.keys(HOLDS).forEach(showHolds);
    view.showGrips(hold ? hold.places() : []);
    if (!hold) return;
    const nowhere = hold.lost(result) && state.options.has(hold.at) && tool.before;
    if (!tool.refused) sayHere(nowhere ? `Nothing holds a ${tool.name} there` : hold.hint);
    tool.refused = nowhere;
    if (!nowhere) return;
    change(tool.before); // all stays as it was
    tool.before = null;
    ask();
}

// The places go with the art's size: they were said for art of the width state.placed.
function holdResize(wide) {
    const by = wide / (state.placed || wide), said = Object.values(HOLDS).map(({ at }) => at).filter((at) => state.options.has(at));
    state.placed = said.length ? wide : 0;
    if (!said.length || Math.abs(by - 1) < 1e-9) return;
    change(Object.fromEntries(said.map((at) => [at, state.options.get(at).replace(/\d+(\.\d+)?(?=mm|cm|in)/g, (mm) => short(mm * by, 2))])));
    ask();
}
