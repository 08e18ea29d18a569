// What is chosen for single spots, as --spots has it: for the place, since a spot's number is another one with every bit.

// A place in widths of the whole art, which stays where it is when the art becomes larger or loses pieces.
function placeOf({ at }) {
    const [wide] = doublesOf(data.size), { factor, corner } = state.shape;
    return at.map((mm, k) => (mm / factor + corner[k]) / wide);
}

function spotChoice(spot, chosen) {
    return [spot.side === "neck" ? 1 : 0, ...placeOf(spot), chosen];
}

// What the options said of spots by their numbers becomes a choice for each place.
function spotsTake({ spots }) {
    if (!state.options.has("spots")) return;
    state.choices = spots.filter(({ chosen }) => chosen).map((spot) => spotChoice(spot, spot.chosen));
    change({ spots: null });
    const told = (kept) => JSON.parse(kept).options.some(([name]) => name === "spots") ? JSON.stringify(stateKept()) : kept;
    [first, begun] = [first, begun].map(told);
}

// 0: as all of its kind.
function chooseSpot(index, chosen) {
    const spots = state.answer.result.spots;
    state.choices = spots.map((spot, k) => [spot, k === index ? chosen : spot.chosen]).filter(([, one]) => one).map(([spot, one]) => spotChoice(spot, one));
    ask();
}

function showChoice(spot) {
    by("choice-label").hidden = !spot;
    if (!spot) return;
    const words = ["as all of its kind", "leave it", "widen it", `${spot.away} it`];
    by("choice").replaceChildren(...words.map((word, k) => new Option(word, k)));
    by("choice").value = spot.chosen;
}

function listenChoice() {
    by("choice").addEventListener("change", () => chooseSpot(state.selected, Number(by("choice").value)));
}
