// The steps below one another: each says in its line what there is, and opens by itself when it has something to
// say, until the reader opens or closes it.
const STEPS = ["picture", "size", "spots", "hold", "take"];
const handled = new Set(); // those that the reader opened or closed

function listenSteps() {
    for (const name of STEPS) by(`step-${name}`).firstElementChild.addEventListener("click", () => handled.add(name));
}

// New art: all of them begin anew.
function resetSteps() {
    handled.clear();
    for (const name of STEPS) by(`step-${name}`).open = false;
}

// Only once the answer is whole, so that nothing moves under a slider; none closes by itself.
function openSteps({ spots, notes, doubts, loose, fits }) {
    const says = { picture: notes.length, size: !data.before, spots: spots.length || doubts, hold: loose.count, take: fits };
    for (const name of STEPS) if (says[name] && !handled.has(name)) by(`step-${name}`).open = true;
}

function showGists({ spots, loose, bridges }) {
    const [wide, high] = state.shape.size.map((mm) => fieldWords(mm, false)[0]);
    sayIn("size-gist", `${wide} \u00d7 ${high} ${inch ? "in" : "mm"}, ${state.cut}`);
    sayIn("spots-gist", spots.length ? String(spots.length) : "none");
    const counted = (count, one) => count ? [`${count} ${one}${count === 1 ? "" : "s"}`] : [];
    const held = [...counted(loose.count, state.cut === "outside" ? "part" : "island"), ...counted(bridges && bridges.count, "bridge"), ...counted(state.tabCount, "tab")];
    sayIn("hold-gist", state.cut === "pocket" ? "nothing comes loose" : held.join(", ") || (state.cut === "outside" ? "one part" : "no islands"));
}
