// What is asked, as a command.

// Options that say what belongs to the sheet, and those of check that widen does not take.
const SIZES = ["wide", "high", "ppi"], TABS = ["tabs", "tab-width", "break-tabs"];
const ONLY_CHECK = ["rack"];

// For a POSIX shell (IEEE Std 1003.1, XCU 2.2.2: within single quotes everything stands for itself).
function quoted(word) {
    return /^[\w./:,+=@%-]+$/.test(word) ? word : `'${word.replace(/'/g, "'\\''")}'`;
}

function given(name) {
    return data.options.find(([option]) => option === name);
}

function droppedWords() {
    const numbers = [...state.off].map((piece) => data.pieces[piece]).sort((a, b) => a - b).join(",");
    return given("drop") ? `${given("drop")[1]},${numbers}` : numbers;
}

// Options that differ from those that were given; null: gone.
function changes() {
    const changed = new Map(), gone = (names) => names.filter(given).forEach((name) => changed.set(name, null));
    if (state.shape.wide) {
        gone(SIZES);
        changed.set("wide", state.shape.wide === state.wide ? state.words.wide : lengthWords(state.shape.wide));
    }
    if (state.cut !== asked.cut) changed.set("cut", state.cut);
    if (state.bit !== asked.bit || !given("bit")) changed.set("bit", state.words.bit || lengthWords(state.bit, 6));
    if (!state.neckGiven) gone(["neck"]);
    else if (!asked.neckGiven || state.neck !== asked.neck) changed.set("neck", state.words.neck);
    if (state.off.size) changed.set("drop", droppedWords());
    if (!state.tabs || state.cut === "pocket") gone(TABS);
    else if (!given("tabs")) changed.set("tabs", "auto");
    return changed;
}

function isChanged() {
    return [...changes()].some(([name]) => name !== "bit" || state.bit !== asked.bit);
}

function option([name, value]) {
    const dashed = name.length > 1 ? `--${name}` : `-${name}`;
    return value === null ? dashed : `${dashed} ${quoted(value)}`;
}

// The options as they are now, in the order in which they were given.
function options() {
    const changed = changes(), kept = [];
    for (const [name, value] of data.options) {
        const now = changed.has(name) ? changed.get(name) : value;
        if (!changed.has(name) || now !== null) kept.push([name, now]);
        changed.delete(name);
    }
    for (const [name, value] of changed) if (value !== null) kept.push([name, value]);
    return kept;
}

// The command in words that each stay on a line.
function commandWords() {
    const dash = data.art.startsWith("-") && data.art !== "-";
    return ["narrows", data.command, ...options().map(option), ...(dash ? ["--"] : []), quoted(data.art)];
}

// The words that the ways out repeat: the art, what is neither size nor bit for check and for
// widen, the size, the bit, what tips may lose. What was widened here is the file that the command for
// it writes.
function wayWords() {
    const dash = data.art.startsWith("-") && data.art !== "-", made = ["ink", ...SIZES];
    const some = (wanted) => options().filter(([name]) => wanted(name) && !(data.widened && made.includes(name))).map(option).join(" ");
    const same = (name) => name !== "bit" && name !== "blunt" && !SIZES.includes(name);
    return [data.widened ? "fixed.svg" : (dash ? "./" : "") + quoted(data.art), some(same), some((name) => same(name) && !ONLY_CHECK.includes(name)),
        some((name) => SIZES.includes(name)), some((name) => name === "bit"), some((name) => name === "blunt")];
}
