// What takes longer than the slider may wait, in a worker of its own: the marked drawing for
// printing, and the ways out of what is shown now.

class Later {
    constructor(art) {
        this.art = art;
        this.engine = null;
    }

    // Nothing that was asked before is wanted any more.
    stop() {
        if (!this.engine || this.engine.idle) return;
        this.engine.end();
        this.engine = null;
    }

    ask(question) {
        if (!this.engine) this.engine = new Engine(by("engine").textContent, this.art, (answer) => this.answered(answer));
        this.engine.ask(question);
    }

    answered(answer) {
        if (answer.what === "marked") {
            printable(answer.svg, answer.answers);
        } else if (answer.what === "ways") {
            showWays(answer.ways, answer.room);
            document.documentElement.dataset.ways = answer.answers;
        } else if (answer.what === "file") {
            jobSave(answer);
        } else if (answer.what === "widen") {
            jobWidened(answer);
        } else if (answer.what === "failed") {
            if (answer.about === "file" || answer.about === "widen") jobSay(answer.message);
            else showWays([], "");
        }
    }
}

function wayButton(words, title, does) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: words, title });
    button.addEventListener("click", () => does(button));
    return button;
}

// A way that the page itself can show ends in the bit or the width that it is about.
function wayItem([words, line]) {
    const item = document.createElement("li");
    item.append(Object.assign(document.createElement("span"), { textContent: words }));
    item.classList.toggle("shut", !line && !!data.command);
    if (!line) return item;
    const row = Object.assign(document.createElement("div"), { className: "row-of-code" });
    const shows = /--(bit|wide) (\S+)$/.exec(line);
    row.append(Object.assign(document.createElement("code"), { textContent: line, title: line }));
    if (shows) row.append(wayButton("Show", "Show it here", () => (shows[1] === "bit" ? chooseBit : chooseWidth)(shows[2])));
    if (job.on && / widen /.test(line)) row.append(wayButton("Widen", "Widen it here", () => jobWiden(line)));
    row.append(wayButton("Copy", "Copy the command", (button) => copy(button, line)));
    item.append(row);
    return item;
}

// While new ones are worked out the old ones stay, pale, so that nothing jumps.
function waysStale() {
    by("ways-head").textContent = "Looking for ways out \u2026";
    by("ways-out").inert = true;
}

function showWays(ways, room) {
    const head = ways.length ? "Ways out, cheapest first" : room;
    by("ways-out").inert = false;
    by("ways-head").textContent = head;
    by("ways-out").hidden = !head;
    by("ways").replaceChildren(...ways.map(wayItem));
}
