// The page without art waits for a picture: dropped, chosen or pasted. The browser decodes it, the
// engine makes the outlines of it as the command does, and the rest of the page takes over. The
// picture leaves neither the page nor the machine.
const MOST_PIXELS = 100e6, MOST_BYTES = 2e8;
// on: the art was decoded here; options: what is asked before there is art; kept: the state that the art comes with;
// restore: the states to go on to from there, once it has answered; key: what its outlines were made with.
const job = { on: false, options: null, kept: null, restore: [], name: "", uri: "", key: "", rack: "", engine: null, saved: null, taking: 0 };

function jobSay(words, good = false) {
    by("job-said").textContent = words;
    by("job-said").className = good ? "" : "bad";
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

// `head`: the file's first bytes. JPEG and WebP hold colours in fewer pixels than greys.
async function readPicture(file, head) {
    let bitmap;
    try {
        bitmap = await createImageBitmap(file, { colorSpaceConversion: "none", premultiplyAlpha: "none" });
    } catch {
        throw new Error("This browser cannot read the file as a picture; save it as PNG, JPEG or SVG");
    }
    const { width, height } = bitmap;
    if (width * height > MOST_PIXELS) throw new Error(`The picture is ${width} x ${height} pixels; up to 100 million in all are read here`);
    const canvas = Object.assign(document.createElement("canvas"), { width, height });
    const context = canvas.getContext("2d", { willReadFrequently: true });
    context.drawImage(bitmap, 0, 0);
    bitmap.close();
    return { pixels: new Uint8Array(context.getImageData(0, 0, width, height).data.buffer), width, height,
        coarse: /^(\xff\xd8\xff|RIFF....WEBP)/s.test(head) };
}

// `again`: it was here before, with all that was asked of it.
async function jobTake(file, again = false) {
    const taking = ++job.taking; // what was brought meanwhile takes its place
    jobSay("Reading the picture \u2026", true);
    try {
        if (file.size > MOST_BYTES) throw new Error("The file is larger than 200 MB; save it smaller");
        const head = new TextDecoder("latin1").decode(await file.slice(0, 1000).arrayBuffer());
        const drawn = /^(\xef\xbb\xbf|\xff\xfe|\xfe\xff)?[\s\0]*</.test(head) || file.type === "image/svg+xml";
        const art = drawn ? readSvg(new Uint8Array(await file.arrayBuffer())) : await readPicture(file, head);
        if (taking !== job.taking) return;
        if (job.uri) URL.revokeObjectURL(job.uri);
        Object.assign(job, { name: file.name || "pasted.png", uri: drawn ? "" : URL.createObjectURL(file) });
        if (!again) job.keeps = keepArt(file);
        job.restore = again && job.kept ? job.kept.then : [];
        jobLoad(art, again ? job.kept : null);
    } catch (error) {
        jobSay(`${error.message}.`);
    }
}

// ---- to outlines -----------------------------------------------------------------------------------

// `art`: new art; none: that of before, made anew. `kept`: the state that it comes with; none: what is asked now, of all
// its pieces.
function jobLoad(art, kept) {
    const before = state ? statesKept()[0].options : [...job.options];
    const options = new Map(kept ? kept.options : before.filter(([name]) => name !== "spots"));
    Object.assign(job, { options, kept: kept || { options: [...options], off: [], choices: [] }, fresh: !!art });
    const asked = [...options].filter(([name]) => name !== "drop" && name !== "spots"); // they are for the page to do
    jobSay("Finding the outlines \u2026", true);
    job.engine.ask({ what: "load", options: asked, ...(art && { art }) });
}

// Where new art waits for its turn, nothing that is asked of the art before may take its place.
function jobAgain() {
    if (job.name && !job.engine.waiting.has("load")) jobLoad(null, { ...stateKept(), marks: marksOff() });
}

function jobAnswered(answer) {
    if (answer.what === "failed") {
        jobSay(`${answer.message}.`);
        job.restore = [];
        if (state && !job.fresh && past.at >= 0) stateTake(JSON.parse(past.states[past.at])); // the last good one goes on
    }
    if (answer.what === "looks") showLooks(answer.looks);
    if (answer.what !== "load") return;
    const { place, pixels } = answer, { options } = job;
    const drop = options.get("drop") || "";
    options.delete("drop");
    job.on = true;
    jobSay("");
    by("ppi-label").hidden = false;
    by("choose-words").textContent = "Another picture";
    document.title = `${job.name}: narrows`;
    begin({ ...answer, art: job.name, ...front.rackRead(job.rack, "the rack"), options: [...options], caution: front.caution(), change: null, widened: null, before: null, place,
        picture: job.uri ? { uri: job.uri, width: pixels[0], height: pixels[1], place } : null }, { ...job.kept, options: [...options], drop }, !job.fresh);
    job.key = artKey();
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

function startJob() {
    for (const id of ["job", "main"]) by(id).hidden = false;
    document.documentElement.dataset.empty = "";
    by("step-picture").open = true;
    job.engine = new Engine(front.bytes, {}, jobAnswered);
    listenJob();
    job.kept = linkState() || keptState();
    job.options = new Map((job.kept || { options: usualOptions() }).options);
    const art = keptArt();
    if (art) jobTake(art, !!job.kept);
}
