// What is asked, as a command.

// For a POSIX shell (IEEE Std 1003.1, XCU 2.2.2: within single quotes everything stands for itself).
function quoted(word) {
    return /^[\w./:,+=@%-]+$/.test(word) ? word : `'${word.replace(/'/g, "'\\''")}'`;
}

// All that is asked, pieces and spots with it, in the order in which it was given.
function optionsAsked() {
    const options = new Map(atWork(state.options)), dropped = droppedWords(), chosen = state.answer && state.answer.result.choice;
    if (dropped) options.set("drop", dropped);
    if (chosen) options.set("spots", chosen);
    return [...options];
}

// Without what is about spots: those that the art is made with.
function optionsOfArt() {
    return optionsAsked().filter(([name]) => name !== "spots");
}

// Lines beside the outlines are written by outline alone.
function commandName() {
    return ["as-cut", "bit-path"].some((name) => state.options.has(name)) ? "outline" : "check";
}

function isChanged() {
    return JSON.stringify(stateKept()) !== first;
}

// Since it was widened, or made.
function isAsBegun() {
    return JSON.stringify(stateKept()) === begun;
}

function optionWords([name, words]) {
    const dashed = name.length > 1 ? `--${name}` : `-${name}`;
    return words ? `${dashed} ${quoted(words)}` : dashed;
}

// The command in words that each stay on a line.
function commandWords(command = commandName(), options = optionsAsked()) {
    const dash = data.art.startsWith("-") && data.art !== "-";
    const taken = options.filter(([name]) => table.get(name).commands.includes(command));
    return ["narrows", command, ...taken.map(optionWords), ...(dash ? ["--"] : []), quoted(data.art)];
}

// All that it takes to make what is shown: art that was widened here is the file that the command for that writes.
function commandWhole() {
    const made = widenings().map(({ words }) => words);
    const last = made.length && isAsBegun() ? made.pop() : commandWords();
    return [...made, last].flatMap((words, k) => k ? ["&&", ...words] : words);
}
