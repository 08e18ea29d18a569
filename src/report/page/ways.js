// What takes longer than the slider may wait, in a worker of its own: the ways out of what is shown now, charts, widening,
// and files.

class Later {
    constructor(art) {
        this.art = art;
        this.engine = null;
    }

    end() {
        if (this.engine) this.engine.end();
        this.engine = null;
    }

    // Nothing that was asked before is wanted any more.
    stop() {
        if (!this.engine || this.engine.idle) return;
        this.end();
    }

    ask(question) {
        if (!this.engine) this.engine = new Engine(this.art, (answer) => this.answered(answer), SEEN_MS);
        this.engine.ask(question);
    }

    // What its reader waits for.
    wanted() {
        const { asked = null, waiting = new Map() } = this.engine || {};
        return [asked, ...waiting.values()].filter((question) => question && ["file", "widen"].includes(question.what));
    }

    answered(answer) {
        if (answer.what === "ways") {
            showWays(answer.ways, answer.room);
            document.documentElement.dataset.ways = answer.answers;
        } else if (answer.what === "bits" || answer.what === "sizes") {
            showChart(answer);
        } else if (answer.what === "file") {
            jobSave(answer);
        } else if (answer.what === "plan") {
            planShow(answer);
        } else if (answer.what === "widen") {
            jobWidened(answer);
        } else if (answer.what === "failed") {
            if (["file", "widen", "bits", "sizes"].includes(answer.about)) jobSay(`${answer.message}.`);
            if (answer.about === "widen") job.restore = [];
            else if (answer.about === "ways") showWays([], "");
        }
    }
}

function wayButton(words, title, does) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: words, title });
    button.addEventListener("click", () => does(button));
    return button;
}

// As its command has it, in which the least neck follows the bit unless it was given.
function takeWay(name, words) {
    if (name === "wide") {
        chooseWidth(words);
        return;
    }
    showWrong(change({ bit: words }));
    ask();
}

// A way that the page itself can show ends in the bit or the width that it is about.
function wayItem([words, line]) {
    const item = document.createElement("li");
    item.append(Object.assign(document.createElement("span"), { textContent: words }));
    item.classList.toggle("shut", !line);
    if (!line) return item;
    const row = Object.assign(document.createElement("div"), { className: "row-of-code" });
    const shows = /--(bit|wide) (\S+)$/.exec(line);
    row.append(Object.assign(document.createElement("code"), { textContent: line, title: line }));
    if (shows) row.append(wayButton("Show", "Show it here", () => takeWay(...shows.slice(1))));
    if (/ widen /.test(line)) row.append(wayButton("Widen", "Widen it here", () => jobWiden(line)));
    row.append(wayButton("Copy", "Copy the command", (button) => copy(button, line)));
    item.append(row);
    return item;
}

// The same as a button above the drawing.
function wayHelp([words, line]) {
    const shows = /--(bit|wide) (\S+)$/.exec(line), places = /^Widen (?:up to )?(\d+ places?)/.exec(words);
    if (places) return wayButton(`Widen ${places[1]}`, words, () => jobWiden(line));
    if (!shows) return null;
    const spaced = shows[2].replace(/(\d)(mm|in)$/, "$1 $2");
    if (shows[1] === "wide") return wayButton(`Make it ${spaced} wide`, words, () => takeWay("wide", shows[2]));
    const known = rack.find(({ name, diameter }) => lengthWords(diameter, 6) === shows[2] || name === shows[2].replace("in", " in"));
    return wayButton(`Use ${known ? known.name : spaced}`, words, () => takeWay("bit", shows[2]));
}

// While new ones are worked out the old ones stay, pale, so that nothing jumps.
function waysStale() {
    sayIn("ways-head", "Looking for ways out \u2026");
    by("ways-out").inert = by("help").inert = true;
}

// Those of other art.
function waysGone() {
    for (const id of ["ways", "help"]) by(id).replaceChildren();
}

function showWays(ways, room) {
    const head = ways.length ? "Ways out, cheapest first" : room;
    by("ways-out").inert = by("help").inert = false;
    by("ways-head").textContent = head;
    by("ways-out").hidden = !head;
    by("ways").replaceChildren(...ways.map(wayItem));
    by("help").replaceChildren(...ways.map(wayHelp).filter(Boolean));
}
