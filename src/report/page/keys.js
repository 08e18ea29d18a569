// Keys and buttons that belong to no step: to look about in the drawing, to go from spot to spot, to copy, to print.

async function copy(button, words) {
    try {
        await navigator.clipboard.writeText(words);
    } catch { // from disk some browsers have no clipboard
        const held = Object.assign(document.createElement("textarea"), { value: words, className: "held" });
        document.body.append(held);
        held.select();
        document.execCommand("copy");
        held.remove();
    }
    const before = button.textContent;
    if (before === "Copied") return;
    button.textContent = "Copied";
    setTimeout(() => { button.textContent = before; }, 1500);
}

function listenView() {
    by("nearer").addEventListener("click", () => view.zoom(1 / 1.4));
    by("farther").addEventListener("click", () => view.zoom(1.4));
    by("whole").addEventListener("click", () => view.whole());
    by("next").addEventListener("click", () => selectNext(1));
    by("previous").addEventListener("click", () => selectNext(-1));
    by("let-go").addEventListener("click", deselect);
    by("copy").addEventListener("click", () => copy(by("copy"), by("command").textContent));
    by("copy-link").addEventListener("click", () => copy(by("copy-link"), stateLink()));
    by("print-it").addEventListener("click", () => window.print());
    for (const button of document.querySelectorAll("[data-file]")) button.addEventListener("click", () => jobFile(button.dataset.file));
    window.addEventListener("beforeprint", printPrepare);
    document.addEventListener("keydown", (event) => {
        if (event.key === "Escape") letGo();
        else if ((event.ctrlKey || event.metaKey) && /^[zy]$/i.test(event.key) && event.target.type !== "text") {
            event.preventDefault();
            pastGo(event.shiftKey || /y/i.test(event.key) ? 1 : -1);
        }
    });
}

// Of what was opened or taken last.
function letGo() {
    if (by("show").open) {
        by("show").open = false;
        by("show").firstElementChild.focus();
    } else if (tool.name) {
        toolPick("");
    } else {
        deselect();
    }
}

function listenDrawing() {
    by("view").addEventListener("keydown", key);
    listenFinger();
}

function key(event) {
    const step = view.height / 8;
    const move = (x, y) => view.place(view.x + x * step, view.y + y * step, view.height);
    const does = { "+": () => view.zoom(1 / 1.4), "=": () => view.zoom(1 / 1.4), "-": () => view.zoom(1.4), 0: () => view.whole(),
        ArrowLeft: () => move(-1, 0), ArrowRight: () => move(1, 0), ArrowUp: () => move(0, 1), ArrowDown: () => move(0, -1),
        n: () => selectNext(1), p: () => selectNext(-1) }[event.key];
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (toolKey(event)) {
        event.preventDefault();
        return;
    }
    if (!does) return;
    event.preventDefault();
    does();
    by("view").focus({ preventScroll: true });
}

