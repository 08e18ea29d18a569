// Tabs by hand: a tap on the outline adds one, one that is there is dragged along or taken away. What stands after the
// first change is all there is: the command says every place, as --tab-at.

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

function tabWords(places) {
    return places.map((place) => place.map((mm) => `${short(mm, 2)}mm`).join(",")).join(":");
}

function tabsPut(places) {
    const was = (name) => state.options.has(name) ? state.options.get(name) : null;
    tool.before = { tabs: was("tabs"), "tab-at": was("tab-at") };
    showWrong(change({ tabs: null, "tab-at": places.length ? tabWords(places) : null }));
    ask();
}

function tabNear(at, places = tabPlaces()) {
    const far = places.map((place) => Math.hypot(place[0] - at[0], place[1] - at[1]) / view.pixel), nearest = far.indexOf(Math.min(...far));
    return far[nearest] < TOOL_GRIP ? nearest : -1;
}

// The tool's part: a finger or the mouse, or Enter at the cross.
function tabTo(phase, at) {
    const places = tabPlaces();
    if (phase === "down") Object.assign(tool, { held: tabNear(at, places), ends: [at] });
    const moved = tool.ends[0] && Math.hypot(at[0] - tool.ends[0][0], at[1] - tool.ends[0][1]) / view.pixel >= 4;
    if (phase === "move" && moved && tool.held >= 0) view.showGrips(places.map((place, k) => k === tool.held ? at : place));
    if (phase !== "up" || !tool.ends[0]) return;
    if (tool.held < 0 && !moved) tabsPut([...places, at]);
    else if (tool.held >= 0) tabsPut(places.map((place, k) => k === tool.held ? moved && at : place).filter(Boolean));
    Object.assign(tool, { held: -1, ends: [] });
}

// After every answer: the list for those without a mouse, and the grips on the drawing.
function showHolding({ tabs }) {
    if (state.answer.skip !== 0) return; // while the slider moves what stands stays
    const places = tabPlaces();
    view.showGrips(tool.name === "tab" ? places : []);
    by("tab-list").replaceChildren(...places.map((place, k) => {
        const item = document.createElement("li"), where = place.map((mm) => told(mm)).join(", ");
        const button = wayButton(`Remove the tab at ${where}`, "Remove this tab", () => tabsPut(places.filter((_, other) => other !== k)));
        item.append(button);
        return item;
    }));
    by("tab-hand").disabled = state.cut === "pocket";
    const nowhere = tabs && tabs.missing && state.options.has("tab-at") && tool.before;
    if (tool.name === "tab" && !tool.refused) sayHere(nowhere ? "Nothing holds a tab there" : "Tap the outline for a tab, tap a tab to take it away, or drag it");
    tool.refused = nowhere;
    if (!nowhere) return;
    change(tool.before); // all stays as it was
    tool.before = null;
    ask();
}

// The places go with the art's size.
function tabsResize(from, to) {
    if (!state.options.has("tab-at") || !state.answer || !(Math.abs(to / from - 1) > 1e-9)) return;
    change({ "tab-at": tabWords(tabPlaces().map((place) => place.map((mm) => mm * to / from))) });
    ask();
}
