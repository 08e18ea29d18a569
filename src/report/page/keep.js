// What outlives the page: the state that the browser keeps, the art with it where that is small enough, and the state in
// a link.
const KEPT = "narrows", KEPT_ART = "narrows art", KEPT_MOST = 3e6; // bytes of art

// A page that was written with its art keeps what was asked of it for as long as it is open, and reloaded.
function stateSave() {
    try {
        const [given, ...then] = statesKept(), kept = { ...given, then, rack: job.rack };
        if (job.given) sessionStorage.setItem(`${KEPT} ${location.pathname}`, JSON.stringify({ ...kept, of: givenKey() }));
        else localStorage.setItem(KEPT, JSON.stringify(kept));
    } catch { /* it keeps nothing here */ }
}

// Of the art and what was asked of it when the page was written.
function givenKey() {
    return `${by("data").textContent.length} ${JSON.stringify(written.options)}`;
}

function keptState() {
    try {
        const kept = JSON.parse(written ? sessionStorage.getItem(`${KEPT} ${location.pathname}`) : localStorage.getItem(KEPT));
        if (!kept || !front.request(atWork(new Map(kept.options)))) return null;
        job.rack = kept.rack || "";
        kept.then = kept.then || [];
        return !written || kept.of === givenKey() ? kept : null;
    } catch {
        return null; // nothing was kept, or what means nothing now
    }
}

// The art that was brought last, once it is shown.
async function keepArt() {
    const file = job.keep;
    if (!file) return;
    job.keep = null;
    try {
        localStorage.removeItem(KEPT_ART);
        if (file.size > KEPT_MOST) throw new Error("large");
        const read = new FileReader();
        await new Promise((done) => { read.onload = done; read.readAsDataURL(file); });
        if (job.keep) return; // there is other art by now
        localStorage.setItem(KEPT_ART, JSON.stringify({ name: file.name || "pasted.png", type: file.type, bytes: read.result.replace(/^[^,]*,/, "") }));
        sayIn("kept", "");
    } catch {
        sayIn("kept", "After a reload this picture has to be dropped again: it is too large for what this browser keeps. What is asked of it stays.");
    }
}

function keptArt() {
    try {
        const { name, type, bytes } = JSON.parse(localStorage.getItem(KEPT_ART));
        return new File([bytesOf(bytes)], name, { type });
    } catch {
        return null;
    }
}

// ---- links -------------------------------------------------------------------------------------------

// All that is asked, in the address behind the "#"; the art itself is not in it. What was widened takes all its states.
function stateLink() {
    const [given, ...then] = statesKept(), said = then.length ? [["states", JSON.stringify([given, ...then])]] : optionsAsked();
    return `${location.href.replace(/#.*/, "")}#${new URLSearchParams(said.map(([name, words]) => [name, words || ""]))}`;
}

function linkState() {
    const said = new URLSearchParams(location.hash.slice(1)), options = [...said].filter(([name]) => table.has(name));
    try {
        const [given, ...then] = JSON.parse(said.get("states"));
        return { ...given, then };
    } catch {
        return options.length ? { options, off: [], choices: [], then: [] } : null;
    }
}
