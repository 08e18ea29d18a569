// What is asked of the engine, and what becomes of its answers.

function answered(answer) {
    if (answer.what === "shape") {
        state.shape = answer;
        view.shape(answer.corner, answer.size, answer.factor);
        showDisc(null);
        showInputs();
    } else if (answer.what === "fit") {
        keepSelected(state.answer && state.answer.result, answer.result);
        state.answer = { ...answer, cutName: CUTS[answer.cut] };
        showBusy(engine.waiting.has("fit"));
        showWrong("");
        show();
        askTabs();
        if (answer.skip === 0) {
            openSteps(answer.result);
            askRest();
            learn();
        }
        const root = document.documentElement.dataset;
        root.answers = Number(root.answers || 0) + 1;
    } else if (answer.what === "tabs") {
        state.tabCount = answer.count;
        view.showTabs(answer.data);
    } else if (answer.what === "learn") {
        if (answer.left.length) engine.ask({ what: "learn", diameters: answer.left });
    } else if (answer.what === "disc") {
        showDisc(answer.disc);
    } else if (answer.what === "failed") {
        showBusy(false);
        if (answer.about === "start") rescue(`The engine of this page does not start here: ${answer.message}.`);
        else showWrong(answer.message);
    }
}

// The sheet, with the art in its lower left corner as near as margin and bit allow.
function sheetBox() {
    const off = margin + (state.cut === "outside" ? state.bit : 0);
    return sheetWide > 0 ? [-off, -off, sheetWide - off, sheetHigh - off] : [0, 0, 0, 0];
}

// By default the least neck is the bit's diameter, or the stock's thickness if that is more.
function fitQuestion(skip) {
    const fromStock = !state.neckGiven && stock > state.bit;
    if (!state.neckGiven) state.neck = fromStock ? stock : state.bit;
    return { what: "fit", cut: CUTS.indexOf(state.cut), bit: state.bit, neck: state.neck, blunt, fromStock, sheet: sheetBox(), skip,
        shapes: ["corners", ...(isShown("reach") ? [state.cut === "outside" ? "way" : "reach"] : []), ...(isShown("path") ? ["way"] : [])] };
}

function isShown(layer) {
    return document.querySelector(`[data-layer=${layer}]`).checked;
}

// While the slider moves shapes may be as coarse as the screen does not show.
function ask(moving = false) {
    const question = fitQuestion(moving ? view.pixel / 4 : 0);
    later.stop();
    state.marked = "";
    if (job.on) jobKeep();
    waysStale();
    showInputs();
    showBusy(true);
    engine.ask(question);
    clearTimeout(state.rest);
    if (moving) state.rest = setTimeout(ask, REST_MS);
}

// While nobody asks, the engine learns about diameters from the slider's ends inwards, once for
// each shape and cut; a sheet whose edge moves with the bit makes it forget at once.
function learn() {
    const about = JSON.stringify([state.cut, state.shape.factor, state.shape.wide, [...state.off]]);
    if (about === state.learnt || state.answer.result.milliseconds > LEARN_MOST_MS || (sheetWide > 0 && state.cut === "outside")) return;
    state.learnt = about;
    const steps = [1, 0];
    for (let apart = .5; apart > .05; apart /= 2) for (let at = apart; at < 1; at += 2 * apart) steps.push(at);
    const least = slider.least, most = 2 * slider.most;
    engine.ask({ what: "learn", diameters: steps.map((share) => least * (most / least) ** share) });
}

// What is asked for of tabs; null for none.
function tabsAsked() {
    if (!state.tabs || state.cut === "pocket") return null;
    return data.tabs ? { count: data.tabs.count, width: doublesOf(data.tabs.width)[0] } : { count: 0, width: 0 };
}

function askTabs() {
    const tabs = tabsAsked();
    if (tabs) engine.ask({ what: "tabs", ...tabs });
    else view.showTabs("");
}

function shapeQuestion(wide = state.wide) {
    const sized = data.options.some(([name]) => SIZES.includes(name));
    return { what: "shape", off: [...state.off], factor: state.shape.factor, wide, unit: data.inch ? MM_PER_INCH : 1,
        round: sized || state.shape.factor !== 1, whole: [wide0, high0] };
}

function reshape() {
    engine.ask(shapeQuestion());
    ask();
}

// What takes longer and comes after the answer, of the very shape that it is about.
function askRest() {
    const shape = { ...shapeQuestion(state.shape.wide), factor: state.shape.factor };
    const question = { shape, fit: fitQuestion(0), tabs: tabsAsked(), answers: Number(document.documentElement.dataset.answers || 0) + 1 };
    if (data.marked && !isChanged()) printable(data.marked, question.answers); // as it was written, with its notes
    else later.ask({ what: "marked", ...question, note: data.command ? `The command for this: ${commandWords().join(" ")}` : "Changed in the page." });
    if (isChanged() || !state.answer.result.spots.length || !data.ways) {
        later.ask({ what: "ways", ...question, neck: state.neckGiven ? state.neck : 0, stock, words: wayWords() });
    } else {
        showWays(data.ways, "");
    }
}

