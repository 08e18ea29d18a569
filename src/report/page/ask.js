// What is asked of the engine, and what becomes of its answers.

function answered(answer) {
    if (answer.what === "shape") {
        state.shape = answer;
        holdResize(answer.size[0]);
        // The size stays when a piece goes, and is the art's from there on.
        if (answer.rounded) change({ wide: lengthWords(answer.size[0]), high: null, ppi: null });
        view.shape(answer.corner, answer.size, answer.factor);
        showDisc(null);
        showInputs();
    } else if (answer.what === "fit") {
        answeredFit(answer);
    } else if (answer.what === "learn") {
        if (answer.left.length) engine.ask({ what: "learn", diameters: answer.left });
    } else if (answer.what === "disc") {
        showDisc(answer.disc);
    } else if (answer.what === "failed") {
        showBusy(false);
        showWrong(answer.message);
    }
}

function answeredFit(answer) {
    const exact = answer.skip === 0, before = state.answer && state.answer.result;
    keepSelected(before, answer.result);
    if (!exact && before) answer.result.notes = before.notes;
    state.answer = { ...answer, cutName: answer.cut };
    if (exact) {
        state.tabCount = answer.result.tabs ? answer.result.tabs.count : 0;
        view.showHeld(answer.result.data);
        spotsTake(answer.result);
    }
    showBusy(engine.waiting.has("fit"));
    showWrong("");
    show();
    if (exact) {
        slideSettle();
        pastNote();
        if (!stateRestore() && !askTold()) {
            askRest();
            onceSeen(learn);
        }
    }
    const root = document.documentElement.dataset;
    root.answers = Number(root.answers || 0) + 1;
    showAll();
    if (exact) onceSeen(keepArt);
}

// Where another answer is there by then, that one sees to it.
function onceSeen(does) {
    const { answer } = state;
    setTimeout(() => { if (answer === state.answer) does(); }, SEEN_MS);
}

// What the page needs to ask for a fit: the options, and what was chosen for spots.
function fitQuestion(skip) {
    const options = atWork(state.options);
    return { what: "fit", options, choices: state.choices, skip,
        shapes: ["corners", ...(isShown("reach") ? [state.cut === "outside" ? "way" : "reach"] : []), ...(isShown("path") ? ["way"] : [])] };
}

function isShown(layer) {
    return document.querySelector(`[data-layer=${layer}]`).checked;
}

// While the slider moves shapes may be as coarse as the screen's pixels.
function ask(moving = false) {
    const question = fitQuestion(moving ? view.pixel : 0);
    later.stop();
    if (state.plan) planShow(null);
    waysStale();
    showInputs(moving);
    showBusy(true);
    engine.ask(question);
    clearTimeout(state.rest);
    if (moving) state.rest = setTimeout(ask, REST_MS);
}

// While nobody asks, the engine learns about diameters from the slider's ends inwards, once for
// each shape and cut; a sheet whose edge moves with the bit makes it forget at once.
function learn() {
    const about = JSON.stringify([state.cut, state.shape.size, [...state.off]]);
    const moves = state.options.has("stock-size") && state.cut === "outside";
    if (about === state.learnt || state.answer.result.milliseconds > LEARN_MOST_MS || moves) return;
    state.learnt = about;
    const steps = [1, 0];
    for (let apart = .5; apart > .05; apart /= 2) for (let at = apart; at < 1; at += 2 * apart) steps.push(at);
    const least = slider.least, most = 2 * slider.most;
    engine.ask({ what: "learn", diameters: steps.map((share) => least * (most / least) ** share) });
}

// The size that the options say, of what is kept; as it was handed in where they say no other.
function shapeQuestion() {
    const sized = SIZES.map((name) => state.options.get(name)).join() === state.sized;
    return { what: "shape", off: [...state.off], ...(!state.off.size && sized ? {} : { wide: state.wide, high: state.high }) };
}

function reshape() {
    engine.ask(shapeQuestion());
    ask();
}

// After any change: what was decoded in this page is traced anew where that may differ, as the command does it.
function reask() {
    if (!data.before && job.remade && outlinesDiffer()) jobAgain();
    else reshape();
}

// What the outlines are made with, and their size.
function artKey() {
    const said = (of) => JSON.stringify([...state.options].filter(of).sort());
    return [said(([name]) => !SIZES.includes(name) && (isOf(name, "size") || isOf(name, "ink") || name === "inch")), said(([name]) => SIZES.includes(name))];
}

// Where pieces are left out, the size of what is kept is a matter of the shape, unless some of the making is told in
// millimetres.
function outlinesDiffer() {
    const [made, sizes] = artKey(), exact = [...state.options].some(([name, words]) => name === "smooth" || ((name === "dirt" || name === "fill") && !/px$/.test(words)));
    return made !== job.key[0] || ((exact || !state.off.size) && sizes !== job.key[1]);
}

// What the notes are about: where pieces are left out, and once it is widened, the outlines are the same at another size.
function toldAbout() {
    return JSON.stringify([droppedWords(), state.off.size || data.before ? artKey()[1] : 0]);
}

// Notes are about what is shown: where other pieces are left out the art is made once more, for its notes alone.
function askTold() {
    const about = toldAbout();
    if (about === data.told || !(job.remade || data.before)) return false;
    data.told = about;
    if (data.before) retold(widenedTold(about));
    else jobTold(about);
    return true;
}

function retold({ of, notes, doubts: [sure, ...unread], place }) {
    if (of !== toldAbout()) return; // others by now
    const scale = ([a, b]) => Math.hypot(a, b);
    if (!data.before) data.doubts = [sure * scale(data.place) / scale(place), ...unread];
    const { doubts } = data;
    const wanted = later.wanted();
    later.end();
    later = new Later({ ...later.art, notes, doubts });
    engine.ask({ what: "tell", notes, doubts });
    ask();
    for (const question of wanted) later.ask(question);
}

// What takes longer and comes after the answer, of the very shape that it is about.
function askRest() {
    const question = laterQuestion(), answers = Number(document.documentElement.dataset.answers || 0) + 1;
    later.ask({ ...question, what: "ways", answers, path: data.art, ...rackAsked() });
    chartAsk();
    planAsk(question);
}

// Of what is shown now; in the very options of the command.
function laterQuestion() {
    const { factor } = state.shape;
    return { shape: { off: [...state.off], factor }, options: optionsAsked(), choices: [] };
}
