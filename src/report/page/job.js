// The page waits for a picture: dropped, chosen or pasted; or it was written with one in it. The browser decodes it, the
// engine makes the outlines of it as the command does, and the rest of the page takes over. The picture leaves neither
// the page nor the machine.
const MOST_PIXELS = 100e6, MOST_BYTES = 2e8;
const IDLE_MS = 500; // without a picture: whoever opened the page looks for one
// given: the art is the one that the page was written with; file: what it may be made of anew, once somebody asks for that,
// null: the engine has it, or nobody. options: what is asked before there is art; kept: the state that the art comes with;
// restore: the states to go on to from there, once it has answered; key: what its outlines were made with; source: its file;
// was: what of this the art had that is shown until the new one is there.
const job = { given: false, file: null, remade: true, ppi: 0, bits: null, options: null, kept: null, restore: [], name: "", uri: "", key: "", rack: "", engine: null, saved: null, taking: 0, warming: 0, source: null, was: null, lag: 0 };

// Words that end in an ellipsis stand as long as something is worked on, which can be stopped once that takes a while.
function jobSay(words, good = false) {
    const { dataset } = document.documentElement;
    by("job-said").textContent = withControls(words);
    by("job-said").className = good ? "" : "bad";
    delete by("job-said").dataset.share;
    clearTimeout(job.lag);
    delete dataset.working;
    if (words.endsWith("\u2026")) job.lag = setTimeout(() => { dataset.working = ""; }, LAG_MS);
}

// How much is done of what somebody waits for.
function progressShow(asked, share) {
    const said = { fit: "busy", widen: "job-said", file: "job-said" }[asked && asked.what];
    if (said) by(said).dataset.share = `${Math.round(100 * share)} %`;
}

// The art that is shown stays, and not what was brought after it.
function jobBack() {
    if (!job.was) return;
    URL.revokeObjectURL(job.uri);
    Object.assign(job, job.was, { file: job.was.source, was: null });
}

// Gives up what is worked on; what was there before goes on.
function jobStop() {
    const art = later && later.art, kept = pastKept();
    job.taking++; // what is being read is not waited for
    job.restore = [];
    if (!job.engine.idle) {
        job.engine.end();
        job.engine = new Engine({}, jobAnswered); // which has nothing to make outlines of
        jobBack();
        job.file = job.source;
    }
    if (later) later.end();
    if (engine && !engine.idle) {
        engine.end();
        engine = new Engine(art, answered);
        showBusy(false);
    }
    jobSay(kept || !state ? "Stopped." : "Stopped before it was judged: another size or bit begins again.", true);
    if (kept) {
        data.told = "";
        stateTake(kept);
    }
}

// ---- reading -------------------------------------------------------------------------------------

// The lines on which the elements' start tags end, as the command counts them; none where entities hold elements.
function elementLines(text, count) {
    const TAGS = /<[!]--[^]*?--[>]|<!\[CDATA\[[^]*?\]\]>|<\?[^]*?\?>|<![^[>]*(?:\[[^]*?\]\s*)?>|<[^\s/>!?](?:[^"'>]|"[^"]*"|'[^']*')*>/g;
    const lines = [];
    let line = 1, at = 0;
    for (const { 0: tag, index } of text.matchAll(TAGS)) {
        for (const end = index + tag.length; (at = text.indexOf("\n", at)) >= 0 && at < end; at++) line++;
        at = index + tag.length;
        if (!/^<[!?]/.test(tag)) lines.push(line);
    }
    return lines.length === count ? lines : [];
}

// An SVG drawing's elements as engine_load.c takes them: lines, names, attributes, the words of style sheets and texts.
function elementTexts(root, text) {
    const lines = elementLines(text, root.getElementsByTagName("*").length + 1);
    const SPACES = { svg: "http://www.w3.org/2000/svg", xmlns: "http://www.w3.org/2000/xmlns/" };
    const WORDED = ["style", "text", "tspan", "textPath", "flowRoot", "flowPara", "flowSpan"];
    const texts = [];
    let begun = 0;
    const walk = document.createTreeWalker(root, NodeFilter.SHOW_ELEMENT);
    const begins = (node) => {
        const foreign = node.namespaceURI && node.namespaceURI !== SPACES.svg;
        texts.push(`l${lines[begun++] || 0}`, (foreign ? "{" : "<") + node.localName);
        for (const { namespaceURI, localName, value } of node.attributes) {
            if (namespaceURI !== SPACES.xmlns) texts.push((namespaceURI ? "f" : "a") + localName, `v${value}`);
        }
        if (!foreign && WORDED.includes(node.localName)) {
            texts.push(`t${[...node.childNodes].filter(({ nodeType }) => nodeType === 3 || nodeType === 4).map(({ data: words }) => words).join("")}`);
        }
    };
    begins(root);
    for (;;) {
        if (walk.firstChild()) {
            begins(walk.currentNode);
            continue;
        }
        texts.push(">");
        while (!walk.nextSibling()) {
            if (walk.currentNode === root || !walk.parentNode()) return `${texts.join("\0")}\0`;
            texts.push(">");
        }
        begins(walk.currentNode);
    }
}

// Text in the encoding that its first bytes say (XML 1.0, appendix F).
function textOf(bytes) {
    const head = new TextDecoder("latin1").decode(bytes.subarray(0, 200));
    const named = /^<\?xml[^>]*encoding=["']([\w.-]+)/.exec(head);
    const wide = { "\xff\xfe": "utf-16le", "\xfe\xff": "utf-16be" }[head.slice(0, 2)];
    return new TextDecoder(wide || (named ? named[1] : "utf-8")).decode(bytes);
}

// A document made thus runs no script and fetches nothing.
function readSvg(bytes) {
    const text = textOf(bytes), parsed = new DOMParser().parseFromString(text, "image/svg+xml");
    const fault = parsed.querySelector("parsererror");
    if (fault) throw new Error("This is not well-formed XML; save the drawing again as plain SVG");
    if (parsed.documentElement.localName !== "svg") throw new Error("The file is XML, but not an SVG drawing; save it as plain SVG");
    return { elements: elementTexts(parsed.documentElement, text), bytes: bytes.length };
}

function checkPixels(width, height) {
    if (width * height > MOST_PIXELS) throw new Error(`The picture is ${width} x ${height} pixels; up to 100 million in all are read here`);
}

// `head`: the file's first bytes. JPEG and WebP hold colours in fewer pixels than greys.
async function readPicture(file, head) {
    if (head.startsWith("PNG\r\n\x1a\n", 1)) return readPng(new Uint8Array(await file.arrayBuffer()), checkPixels);
    const jpeg = /^\xff\xd8\xff/.test(head);
    const { still, exif } = /^RIFF....WEBP/s.test(head) ? await webpUnturned(file) : { still: jpeg ? await jpegBare(file) : file, exif: new Uint8Array(0) };
    let bitmap;
    try {
        bitmap = await createImageBitmap(still, jpeg ? await bareHow() : AS_STORED);
    } catch {
        throw new Error("This browser cannot read the file as a picture; save it as PNG, JPEG or SVG");
    }
    const { width, height } = bitmap;
    checkPixels(width, height);
    // Only these have colours that half show.
    const pixels = await (/^(RIFF|BM)/.test(head) ? pixelsExact(bitmap, still, CLEAR_PIXEL, [pixelsOfFrame, pixelsOfTexture])
        : jpeg ? pixelsExact(bitmap, still, OPAQUE_PIXEL, [pixelsOpaque]) : pixelsOfCanvas(bitmap));
    bitmap.close();
    return { pixels, width, height, coarse: jpeg || head.startsWith("RIFF"), exif };
}

async function readFile(file) {
    if (file.size > MOST_BYTES) throw new Error("The file is larger than 200 MB; save it smaller");
    const head = new TextDecoder("latin1").decode(await file.slice(0, 1000).arrayBuffer());
    const drawn = /^(\xef\xbb\xbf|\xff\xfe|\xfe\xff)?[\s\0]*</.test(head) || file.type === "image/svg+xml";
    const art = drawn ? readSvg(new Uint8Array(await file.arrayBuffer())) : await readPicture(file, head);
    return { ...art, uri: drawn ? "" : URL.createObjectURL(file) };
}

// `kept`: what was asked of it, where it was here before.
async function jobTake(file, kept = null, name = file.name) {
    const taking = ++job.taking; // what was brought meanwhile takes its place
    clearTimeout(job.warming);
    jobSay("Reading the picture \u2026", true);
    try {
        const { uri, ...art } = await readFile(file);
        if (taking !== job.taking) return;
        const { name: known, uri: shown, source, given, remade, ppi } = job;
        job.was = job.was || { name: known, uri: shown, source, given, remade, ppi };
        Object.assign(job, { name: name || "pasted.png", uri, source: file, restore: kept ? kept.then : [] });
        if (!kept) {
            Object.assign(job, { given: false, file: null, remade: true, ppi: 0, keep: file });
            showRemade();
        }
        jobLoad({ ppi: job.ppi, ...art }, kept);
    } catch (error) {
        jobFailed(error.message);
    }
}

// ---- to outlines -----------------------------------------------------------------------------------

// `art`: new art; none: that of before. `kept`: the state that it comes with; none: what is asked now, of all its pieces.
// `anew`: it was shown before.
function jobLoad(art, kept, anew = false) {
    const before = state ? statesKept()[0].options : [...job.options];
    const options = new Map(kept ? kept.options : before.filter(([name]) => name !== "spots"));
    Object.assign(job, { options, kept: kept || { options: [...options], off: [], choices: [] }, fresh: !anew });
    const asked = [...options].filter(([name]) => name !== "drop" && name !== "spots"); // they are for the page to do
    jobSay("Finding the outlines \u2026", true);
    job.engine.ask({ what: "load", options: asked, ...(art && { art }) });
}

// Where new art waits for its turn, nothing that is asked of the art before may take its place.
async function jobAgain() {
    if (!job.engine.waiting.has("load")) jobLoad(await jobArt(), { ...stateKept(), marks: marksOff() }, true);
}

// What the engine needs to make the art anew and has not got yet; null: nothing.
async function jobArt() {
    const { file } = job;
    job.file = null;
    if (!file) return null;
    const { uri, ...art } = await readFile(file);
    URL.revokeObjectURL(uri);
    return { ppi: job.ppi, ...art };
}

async function jobTold(of) {
    const art = job.file && await jobArt();
    job.engine.ask({ what: "told", of, options: optionsOfArt(), ...(art && { art }) });
}

// A page that was written with its art shows what was found then.
function jobFailed(words) {
    job.keep = null;
    jobSay(`${words}.`);
    if (written && !state) rescue(`${words}.`);
}

function jobAnswered(answer) {
    if (answer.what === "told") retold(answer);
    if (answer.about === "told") ask();
    else if (answer.what === "failed") {
        jobFailed(answer.message);
        jobBack();
        job.restore = [];
        if (!job.fresh && pastKept()) stateTake(pastKept()); // the last good one goes on
    }
    if (answer.what === "looks") showLooks(answer.looks);
    if (answer.what !== "load") return;
    const { options } = job, drop = options.get("drop") || "";
    options.delete("drop");
    jobShow(answer, { ...job.kept, options: [...options], drop });
}

// Outlines with what is known of them; `kept`: what is asked of them.
function jobShow(made, kept) {
    const [width, height] = made.pixels, rack = job.bits && !job.rack ? front.rackTake(job.bits) : front.rackRead(job.rack, "the rack");
    jobSay("");
    if (job.was && job.was.uri) URL.revokeObjectURL(job.was.uri);
    job.was = null;
    by("choose-words").textContent = "Another picture";
    document.title = `${job.name.replace(/^.*\//, "")}: narrows`;
    begin({ ...made, art: job.name, ...rack, options: kept.options, change: null, widened: null, before: null,
        picture: job.uri ? { uri: job.uri, width, height, place: made.place } : null }, kept, !job.fresh);
    job.key = artKey();
}

// What was written into the page: the art's file, or, where that is read here in another way or is not there, its outlines.
function jobGiven() {
    const { art, options, rack, rackNumbers, widened, file, bytes, drawing, behind } = written, [ppi] = doublesOf(written.ppi);
    const asked = linkState() || keptState() || { options, off: [], choices: [], then: widened ? [{ folder: widened }] : [] };
    const type = file || behind, seen = type && new File([bytes], "art", { type }), own = file && seen;
    Object.assign(job, { given: true, bits: { rack, rackNumbers: doublesOf(rackNumbers) }, ppi, name: art, kept: asked, options: new Map(asked.options) });
    if (drawing) {
        const { drop = "" } = Object.fromEntries(options), said = Object.fromEntries(asked.options).drop || "";
        const gone = said.startsWith(drop) ? said.slice(drop.length) : said; // what was dropped is not in the outlines
        Object.assign(job, { file: own, source: own, remade: !!own, uri: seen ? URL.createObjectURL(seen) : "", restore: asked.then, fresh: true });
        jobShow({ ...written, place: [...doublesOf(written.place)], pixels: [written.width, written.height] },
            { ...asked, options: [...new Map([...asked.options.filter(([name]) => name !== "drop"), ...(drop ? [["drop", drop]] : [])])], drop: gone });
        showRemade();
    } else {
        jobTake(own, asked, art);
    }
}

// Outlines alone cannot be made anew.
function showRemade() {
    by("remake").inert = !job.remade;
    if (!job.remade) sayIn("kept", "Here are the art's outlines alone: drop its picture on the page to have something else of it taken for art.");
}

// ---- files out ---------------------------------------------------------------------------------------

function jobFile(name) {
    if (data.change && data.change[name] && isAsBegun()) {
        jobSave({ name, content: data.change[name] }); // as it was written, before it was read again
        return;
    }
    jobSay(`Writing ${name} \u2026`, true);
    later.ask({ ...laterQuestion(), what: "file", name });
}

function jobSave({ name, content }) {
    const address = URL.createObjectURL(new Blob([content], { type: "application/octet-stream" }));
    const link = Object.assign(document.createElement("a"), { href: address, download: `${artGiven().art.replace(/^.*\//, "").replace(/\.\w+$/, "")}-${name}` });
    job.saved = { name, content };
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
    jobSay("");
}

// ---- the page before there is art ------------------------------------------------------------------

// A field that is an option, while there is no art.
function jobOption(field) {
    const words = optionSaid(field), options = new Map(job.options);
    if (words === null) options.delete(field.dataset.option);
    else options.set(field.dataset.option, words);
    try {
        front.request([...options]);
        job.options = options;
    } catch (error) {
        showWrong(error.message);
    }
}

function listenJob() {
    by("stop").addEventListener("click", jobStop);
    by("file").addEventListener("change", () => { if (by("file").files[0]) jobTake(by("file").files[0]); });
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
        event.preventDefault();
        if (event.dataTransfer.files[0]) jobTake(event.dataTransfer.files[0]);
    });
    document.addEventListener("paste", (event) => {
        if (event.clipboardData.files[0]) jobTake(event.clipboardData.files[0]);
    });
    by("unwiden").addEventListener("click", () => begin(data.before.told, data.before.kept, true));
}

// A picture as browsers write it, read a few times.
async function warmPng() {
    const canvas = Object.assign(document.createElement("canvas"), { width: 512, height: 512 }), pen = canvas.getContext("2d");
    const grain = pen.createImageData(512, 512);
    for (let at = 0, seed = 1; at < grain.data.length; at++) {
        seed = Math.imul(seed, 1664525) + 1013904223;
        grain.data[at] = at % 4 < 3 ? seed >>> 26 : 255;
    }
    pen.putImageData(grain, 0, 0);
    const file = await new Promise((done) => canvas.toBlob(done));
    for (let round = 0; round < 4; round++) await readPng(new Uint8Array(await file.arrayBuffer()), checkPixels);
}

// The engine in a worker of its own: who brings a picture meanwhile need not wait for it.
function warmUp() {
    const warm = new Engine({}, async ({ what }) => {
        if (what === "start") return;
        warm.end();
        await warmPng();
        document.documentElement.dataset.warm = "";
    });
    warm.ask({ what: "warm", options: [...usualOptions()] });
}

function startJob() {
    job.engine = new Engine({}, jobAnswered);
    listenJob();
    if (written) {
        jobGiven();
        return;
    }
    engine = new Engine({}, answered);
    by("main").hidden = false;
    document.documentElement.dataset.empty = "";
    by("step-picture").open = true;
    job.kept = linkState() || keptState();
    job.options = new Map((job.kept || { options: usualOptions() }).options);
    const art = keptArt();
    if (art) jobTake(art, job.kept);
    else job.warming = setTimeout(warmUp, IDLE_MS);
}
