// Widening here, as a command does it: what is widened becomes the art, as the file that the command writes. So a state
// has a row of such commands behind it, each with the state that it was given in, which is what it is taken back to.

// The commands that made the art, each in words that stay on a line, with the folder that it writes into.
function widenings(of = data) {
    return of.before ? [...widenings(of.before.told), of.widened] : [];
}

// The art that was handed in, before all widening.
function artGiven() {
    let given = data;
    while (given.before) given = given.before.told;
    return given;
}

// The states from the art that was handed in to what is shown; each is reached from the one before by a widening.
function statesKept() {
    const all = [stateKept()];
    for (let of = data; of.before; of = of.before.told) all.unshift(of.before.kept);
    return all;
}

function isSame(one, other) {
    return JSON.stringify(one) === JSON.stringify(other);
}

function usualFolder() {
    return `${data.art.replace(/\.\w+$/, "").replace(/^-$/, "narrows").replace(/^-/, "./-")}-widened`;
}

// The command that widens what is shown, with what it says of stubs and misses, and the art that it makes.
function widenedAs(options, folder = usualFolder()) {
    return { words: commandWords("widen", [...options, ["o", folder]]), folder };
}

// `line`: the command, of which the remedies count; the rest is what is shown. `given`: the page was written for it.
function jobWiden(line, folder, given = false) {
    const question = laterQuestion(), remedies = [...line.matchAll(/--(stubs|misses) (\w+)/g)].map(([, name, words]) => [name, words]);
    const options = [...new Map([...question.options, ...remedies])];
    jobSay("Widening \u2026", true);
    later.ask({ ...question, what: "widen", widened: widenedAs(options, folder), given, widenOptions: options });
}

// What was widened is its file, read again to the last bit as a command reads it.
function widenedArt({ change }) {
    return readSvg(new TextEncoder().encode(change["outline.svg"]));
}

function widenedTold(of) {
    return front.told({ of, art: widenedArt(data), options: optionsOfArt() });
}

// It is cut as before.
function jobWidened({ place: [a, b, c, d, e, f], widened, given, change }) {
    // From the picture to the art as it was, and on to where that lies now; c and d count from the top.
    const moved = ([p, q, r, s, t, u]) => [a * p - c * q, b * p - d * q, a * r - c * s, b * r - d * s, a * t - c * u + e, b * t - d * u + f];
    const [sure, ...unread] = data.doubts, { factor, corner } = state.shape;
    const shown = ([p, q, r, s, t, u]) => [p * factor, q * factor, r * factor, s * factor, (t - corner[0]) * factor, (u - corner[1]) * factor];
    const picture = data.picture && { ...data.picture, place: moved(shown([...doublesOf(data.picture.place)])) };
    const cut = [...state.options].filter(([name]) => table.get(name).stays);
    const read = front.load({ art: widenedArt({ change }), options: cut });
    jobSay("");
    begin({ ...data, ...read, change, art: `${widened.folder}/fixed.svg`, doubts: [sure * factor, ...unread], picture, options: cut, widened, before: { told: data, kept: stateKept() } },
        { options: cut, off: [], choices: [] }, true);
    if (given) first = begun;
}

// To a state that other widenings made: one more is made anew, or those after it are taken back.
function stateWidened(kept) {
    const now = widenings(), wanted = kept.widened || [];
    if (wanted.length > now.length && isSame(wanted.slice(0, now.length), now)) {
        job.restore.unshift(kept);
        jobWiden(wanted[now.length].words.join(" "), wanted[now.length].folder);
        return;
    }
    let told = data;
    while (told.before && !isSame(widenings(told), wanted)) told = told.before.told;
    if (!isSame(widenings(told), wanted)) return;
    begin(told, kept, true);
    if (job.remade && outlinesDiffer()) jobAgain();
}

// After an answer: what was kept beyond it is asked next. Returns whether there was something.
function stateRestore() {
    const next = job.restore.shift();
    if (next && next.folder) jobWiden("", next.folder, true);
    else if (next) stateTake(next);
    return !!next;
}
