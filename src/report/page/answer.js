// The engine's answer in words: the verdict, the list of spots, the legend, what each step has to say.

// The list points at the drawing: what has the pointer or the focus there is lit here.
function spotItem(spot, index) {
    const button = document.createElement("button");
    button.type = "button";
    button.append(Object.assign(document.createElement("b"), { textContent: index + 1, className: spot.side }), spot.words);
    button.addEventListener("click", () => select(index));
    for (const [name, lit] of [["pointerenter", true], ["focus", true], ["pointerleave", false], ["blur", false]]) {
        button.addEventListener(name, () => view.balloons.light(index, lit));
    }
    const item = document.createElement("li");
    item.append(button);
    return item;
}

const LISTED = 200, LISTED_MOVING = 40; // spots; a list of more waits until the slider rests

// While the slider moves what is folded waits until it rests.
function waits(step) {
    return state.answer.skip > 0 && !by(`step-${step}`).open;
}

// The list is made anew only where its words are others, so that the focus stays in it.
function showSpots({ spots }) {
    if (waits("spots") || (state.answer.skip > 0 && spots.length > LISTED_MOVING)) return;
    const told = spots.slice(0, LISTED), words = told.map(({ side, words: line }) => side + line).join("\n");
    if (words !== state.listed) by("spots").replaceChildren(...told.map(spotItem));
    state.listed = words;
    for (const [index, item] of [...by("spots").children].entries()) item.firstChild.setAttribute("aria-current", index === state.selected);
    by("spots-head").textContent = spots.length ? `Worst first (${spots.length})` : "No spots";
    const more = spots.length - told.length;
    by("more").textContent = more ? `and ${more} more in spots.csv` : "";
}

// What stands in the drawing about the spot that is chosen, with the buttons to the next and the one before.
function showCard({ spots }) {
    const spot = spots[state.selected];
    by("card").hidden = !spots.length;
    by("let-go").hidden = !spot;
    showChoice(spot);
    if (spot && spot.words) sayIn("chosen", `Spot ${state.selected + 1} of ${spots.length}: ${spot.words}`);
}

// Where there is no room for all the numbers, it says so.
function showBalloonCount(shown) {
    const count = state.answer ? state.answer.result.spots.length : 0;
    if (state.selected >= 0) return;
    sayIn("chosen", `${count} spot${count === 1 ? "" : "s"}${shown < count ? `, ${shown} numbered here: look nearer for more` : ""}`);
}

function sayIn(id, words) {
    if (by(id).textContent !== words) by(id).textContent = words;
}

// A text with the art's name, which may be written from right to left, isolated from the rest.
function isolated(text) {
    const name = [data.art, data.art.replace(/^.*\//, "")].find((one) => one && text.startsWith(one));
    return name ? [Object.assign(document.createElement("bdi"), { textContent: name }), text.slice(name.length)] : [text];
}

// The spot that was chosen stays so where the new answer has one of its side at its place.
function keepSelected(before, after) {
    const spot = before && before.spots[state.selected];
    if (!spot) return;
    const apart = ({ at, side }) => side === spot.side ? Math.hypot(at[0] - spot.at[0], at[1] - spot.at[1]) : Infinity;
    const nearest = after.spots.reduce((best, one, k) => apart(one) < best.apart ? { k, apart: apart(one) } : best, { k: -1, apart: state.bit });
    state.selected = nearest.k;
}

function show() {
    const { result } = state.answer;
    by("verdict").className = result.fits ? "good" : "bad";
    for (const name of ["verdict", "subject", "counts", "doubts"]) {
        if (by(name).textContent !== result[name]) by(name).replaceChildren(...isolated(result[name]));
    }
    showNotes(result.notes);
    showCommand();
    showSpots(result);
    showCard(result);
    showLegend(result);
    showGists(result);
    showHolding(result);
    view.showResult(state.answer, state.answer.cutName, state.selected, select);
    if (state.disc) showDisc(state.disc);
}

// Those on what is shown; what comes loose stands where it is held.
function showNotes(notes) {
    const loose = notes.find((note) => / loose|separate parts/.test(note)), words = JSON.stringify(notes);
    sayIn("loose", withControls(loose || ""));
    if (words === state.noted) return;
    by("hair").hidden = !words.includes("--skip-hairlines") && !state.options.has("skip-hairlines");
    state.noted = words;
    by("notes").replaceChildren(...notes.filter((note) => note !== loose).map((note) => Object.assign(document.createElement("p"), { className: "small", textContent: withControls(note) })));
    if (notes.some((note) => /--lines (outer|inner)/.test(note)) && job.remade) by("lines-looks").open = true; // as pictures to choose by
}

function showCommand() {
    if (waits("take")) return;
    const words = commandWhole();
    by("command").replaceChildren(...words.flatMap((word) => [Object.assign(document.createElement("span"), { textContent: word }), " "]).slice(0, -1));
    by("run-it").textContent = !isAsBegun() ? "Run it to get the files for what you see here."
        : data.before ? "It writes the widened outlines, as fixed.svg and fixed.dxf." : "It gives what you see here.";
}

function showLegend(result) {
    const { before, added, removed } = { ...(isShown("before") && data.change), ...(state.plan && state.plan.change && { added: state.plan.change.added, removed: state.plan.change.removed }) };
    const lost = (side) => isShown("lost") && result.spots.some((spot) => spot.side === side);
    const there = { before, added, removed, reach: isShown("reach"), gap: lost("gap"), corner: isShown("lost") && result.corners.count,
        neck: lost("neck"), path: isShown("path"), lift: result.lifts.length, tab: state.tabCount,
        loose: result.loose.count, bridge: result.bridges && result.bridges.count };
    for (const item of by("legend").children) item.hidden = !there[item.dataset.key];
    slideKeys();
}

function select(index) {
    const spot = state.answer && state.answer.result.spots[index];
    if (!spot) return;
    state.selected = index;
    const whole = 1.5 * Math.max(spot.length, 0);
    view.place(...spot.at, Math.min(view.height, Math.max(8 * state.bit, Math.min(whole, 25 * state.bit))));
    show();
    askDisc(...spot.at);
    const item = by("spots").children[index];
    if (item) for (const list of [by("spots"), by("controls")]) scrollWithin(list, item);
    by("frame").scrollIntoView({ block: "nearest" });
}

// The page itself stays where it is.
function scrollWithin(list, item) {
    const [frame, box] = [list, item].map((node) => node.getBoundingClientRect()), edge = 4;
    list.scrollTop += Math.min(0, box.top - frame.top - edge) + Math.max(0, box.bottom - frame.bottom + edge);
}

// The next spot or the one before, round and round.
function selectNext(step) {
    const spots = state.answer ? state.answer.result.spots.length : 0;
    if (spots) select((Math.max(state.selected, step < 0 ? 0 : -1) + step + spots) % spots);
}

function deselect() {
    if (!state || state.selected < 0) return;
    state.selected = -1;
    showDisc(null);
    show();
}

// Says so when what is shown lags behind what is asked.
function showBusy(busy) {
    clearTimeout(state.lag);
    delete by("busy").dataset.share;
    if (!busy) delete document.documentElement.dataset.busy;
    else state.lag = setTimeout(() => { document.documentElement.dataset.busy = ""; }, LAG_MS);
}

function showWrong(words) {
    by("wrong").textContent = withControls(words);
}

