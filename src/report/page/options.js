// What is asked: the command's options, as they are typed, which pieces are left out, and what was chosen for spots. The
// engine reads the options as the command does, and what it refuses leaves the last good ones at work.
const SIZES = ["wide", "high", "ppi"];
let front = null, table = null; // an engine that answers at once, for what takes no time; the options by name
let inch = false; // words in inches

// By a module of its own (expand.c), in whose memory the data go first; they become no more than sixteen times as long.
async function expanded(data) {
    const { instance } = await WebAssembly.instantiate(await unpacked(by("expand").textContent));
    const { memory, __heap_base: from, expand } = instance.exports, most = 16 * data.length + 65536;
    memory.grow(Math.ceil((data.length + most) / 65536));
    new Uint8Array(memory.buffer).set(data, from.value);
    const size = expand(from.value, data.length, most);
    if (!size) throw new Error("the data is damaged");
    return new Uint8Array(memory.buffer, from.value + data.length, size);
}

async function frontStart() {
    const module = await WebAssembly.compile(await expanded(bytesOfLetters(by("engine").textContent))); // once, for all workers
    front = Object.assign(await engineMade(module), { module });
    table = new Map(front.table().map((row) => [row.name, row]));
}

// A job as before there is art.
function usualOptions() {
    return new Map([["wide", "120mm"], ["cut", "inside"], ["bit", "1/8in"]]);
}

function isOf(name, group) {
    return table.get(name).group === group;
}

// Those that mean something together: nothing holds what a pocket leaves.
function atWork(options) {
    const pocket = options.get("cut") === "pocket";
    return [...options].filter(([name]) => !(pocket && isOf(name, "hold")));
}

// Takes over changes of options, null for gone. Returns what is wrong with them, "" when nothing is.
function change(changes) {
    const options = new Map(state.options);
    for (const [name, words] of Object.entries(changes)) {
        if (words === null) options.delete(name);
        else options.set(name, words);
    }
    try {
        Object.assign(state, front.request(atWork(options)), { options });
    } catch (error) {
        return error.message.replace(/^--\w[\w-]*: /, "");
    }
    inch = options.has("inch");
    document.documentElement.toggleAttribute("data-inch", inch);
    return "";
}

// The engine's words with the page's controls in place of options; limits are the command's alone.
function withControls(words) {
    const label = (name) => by(name) && by(name).closest("label");
    const labelled = (name) => [...label(name).childNodes].filter((node) => node.nodeType === Node.TEXT_NODE).map((node) => node.data.trim()).join("");
    const said = (option, name, value) => {
        if (!label(name)) return name.startsWith("max-") ? `the command's ${option}` : option;
        const chosen = [...by(name).options || []].find((one) => one.value === value);
        return chosen ? `\u201c${labelled(name)}: ${chosen.text}\u201d` : `\u201c${labelled(name)}\u201d${/^\d/.test(value) ? " at" : ""}${value ? ` ${value}` : ""}`;
    };
    return words.replace(/--drop (\w+)/g, "\u201c$1\u201d under \u201cPieces\u201d").replace(/--(\w[\w-]*)(?: ([\w.]*\w)\b(?!,| or))?/g, said);
}

// ---- pieces, as --drop names them -----------------------------------------------------------------

const GUESSES = ["art", "speck", "frame", "lettering", "edge", "dust"]; // as nw_piece_guess has them

// What was one piece of the picture may be several of the outlines, which stay and go together, as they do for --drop: for
// each of these the first that has its number, which stands for them all.
function firstsOf(numbers) {
    const pieces = Array.from({ length: numbers.length / 2 }, (_, piece) => piece), known = new Map();
    return pieces.map((piece) => {
        const number = numbers[2 * piece];
        if (!known.has(number)) known.set(number, piece);
        return number ? known.get(number) : piece;
    });
}

function numberOf(piece) {
    return data.numbers[2 * piece];
}

function guessOf(piece) {
    return GUESSES[data.numbers[2 * piece + 1]];
}

// "3,5-9"
function ranges(numbers) {
    const sorted = [...numbers].sort((a, b) => a - b), parts = [];
    for (const number of sorted) {
        const last = parts[parts.length - 1];
        if (last && last[1] === number - 1) last[1] = number;
        else parts.push([number, number]);
    }
    return parts.map(([a, b]) => a === b ? a : `${a}-${b}`).join(",");
}

function droppedWords() {
    return [state.options.get("drop"), ranges([...state.off].map(numberOf))].filter(Boolean).join(",");
}

function allPieces() {
    return [...new Set(paths.map(({ piece }) => piece))];
}

// The pieces that such words mean, of those that are here.
function droppedPieces(words) {
    const parts = words.split(",").filter(Boolean);
    const means = (part, piece) => {
        const [first, last = first] = part.split("-").map(Number);
        return part === guessOf(piece) || (numberOf(piece) >= first && numberOf(piece) <= last);
    };
    return new Set(allPieces().filter((piece) => parts.some((part) => means(part, piece))));
}

// ---- history ----------------------------------------------------------------------------------------

// A state that can be kept: what is asked, whole.
function stateKept() {
    return { options: [...state.options], off: [...state.off].map(numberOf), choices: state.choices, widened: widenings(), placed: state.placed };
}

const past = { states: [], at: -1, silent: false };

// What was answered is a state to come back to, unless it is the one that was gone back to.
function pastNote() {
    const now = JSON.stringify(stateKept());
    if (past.states[past.at] !== now) {
        past.states.splice(past.at + 1, Infinity, now);
        past.at = past.states.length - 1;
    }
    pastShow();
    if (!job.restore.length) stateSave();
}

// The last that was answered; null: none.
function pastKept() {
    return state && past.at >= 0 ? JSON.parse(past.states[past.at]) : null;
}

function pastGo(step) {
    const to = past.states[past.at + step];
    if (!to || !state) return;
    past.at += step;
    stateTake(JSON.parse(to));
    pastShow();
}

function pastShow() {
    for (const [id, step] of [["undo", -1], ["redo", 1]]) by(id).disabled = !past.states[past.at + step];
}

// Asks what such a state says; what was widened is made anew, or taken back.
function stateTake(kept) {
    const { options, off, choices } = kept;
    if (!isSame(kept.widened || [], widenings())) {
        stateWidened(kept);
        return;
    }
    const numbers = new Set(off), before = state.options;
    state.options = new Map();
    const fault = change(Object.fromEntries(options));
    if (fault) {
        state.options = before;
        showWrong(fault);
        return;
    }
    state.off = new Set(allPieces().filter((piece) => numbers.has(numberOf(piece))));
    Object.assign(state, { choices, placed: kept.placed || 0 });
    showOff();
    reask();
}
