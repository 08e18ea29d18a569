// The page without art waits for a picture: dropped, chosen or pasted. The browser decodes it, the
// engine makes the outlines of it as the command does, and the rest of the page takes over. The
// picture leaves neither the page nor the machine.
const KEPT = "narrows"; // under this name the browser keeps what was asked
const MOST_PIXELS = 100e6, MOST_BYTES = 2e8;
const REMEDIES = { keep: 0, open: 1, trim: 2, drop: 2 }; // as nw_remedy has them
const INKS = ["auto", "dark", "light", "alpha"]; // as nw_ink_kind has them
const job = { on: false, asked: { wide: "120mm", high: "", cut: "inside", bit: "1/8in", neck: "", stock: "", ink: "auto", inch: false },
    name: "", uri: "", off: null, engine: null, saved: null };

function jobSay(words, good = false) {
    by("job-said").textContent = words;
    by("job-said").className = good ? "" : "bad";
}

// ---- what the browser keeps --------------------------------------------------------------------

function jobRecall() {
    try {
        const kept = JSON.parse(localStorage.getItem(KEPT)) || {};
        for (const name in job.asked) if (typeof kept[name] === typeof job.asked[name]) job.asked[name] = kept[name];
    } catch { /* it keeps nothing here */ }
}

function jobKeep() {
    const { cut, neckGiven, words } = state;
    Object.assign(job.asked, { cut, bit: words.bit || job.asked.bit, neck: neckGiven ? words.neck || job.asked.neck : "" });
    try {
        localStorage.setItem(KEPT, JSON.stringify(job.asked));
    } catch { /* it keeps nothing here */ }
}

// ---- reading -------------------------------------------------------------------------------------

// An SVG drawing's elements as engine_load.c takes them: names, attributes, the words of style sheets and texts.
function elementTexts(root) {
    const SPACES = { svg: "http://www.w3.org/2000/svg", xmlns: "http://www.w3.org/2000/xmlns/" };
    const WORDED = ["style", "text", "tspan", "textPath", "flowRoot", "flowPara", "flowSpan"];
    const texts = [];
    const walk = document.createTreeWalker(root, NodeFilter.SHOW_ELEMENT);
    const begins = (node) => {
        const foreign = node.namespaceURI && node.namespaceURI !== SPACES.svg;
        texts.push((foreign ? "{" : "<") + node.localName);
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
    const parsed = new DOMParser().parseFromString(textOf(bytes), "image/svg+xml");
    const fault = parsed.querySelector("parsererror");
    if (fault) throw new Error("This is not well-formed XML; save the drawing again as plain SVG");
    if (parsed.documentElement.localName !== "svg") throw new Error("The file is XML, but not an SVG drawing; save it as plain SVG");
    return { texts: elementTexts(parsed.documentElement), bytes: bytes.length };
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

async function jobTake(file) {
    jobSay("Reading the picture \u2026", true);
    try {
        if (file.size > MOST_BYTES) throw new Error("The file is larger than 200 MB; save it smaller");
        const head = new TextDecoder("latin1").decode(await file.slice(0, 1000).arrayBuffer());
        const drawn = /^(\xef\xbb\xbf|\xff\xfe|\xfe\xff)?[\s\0]*</.test(head) || file.type === "image/svg+xml";
        const art = drawn ? readSvg(new Uint8Array(await file.arrayBuffer())) : await readPicture(file, head);
        if (job.uri) URL.revokeObjectURL(job.uri);
        Object.assign(job, { name: file.name || "pasted.png", off: null, uri: drawn ? "" : URL.createObjectURL(file) });
        jobLoad(art);
    } catch (error) {
        jobSay(`${error.message}.`);
    }
}

// ---- to outlines -----------------------------------------------------------------------------------

function jobLength(words) {
    return words ? readLength(words, job.asked.inch ? "in" : "mm") : 0;
}

// `art`: new art; none: that of before, at another size or with another ink.
function jobLoad(art) {
    const { ink, wide, high } = job.asked;
    const options = [INKS.indexOf(ink), 0, 0, 0, 0, 0, 0, 0, 0, 0, jobLength(wide), jobLength(high), 0, 0, 0];
    jobSay("Finding the outlines \u2026", true);
    job.engine.ask({ what: "load", options, inch: job.asked.inch, stock: jobLength(job.asked.stock), ...(art && { art }) });
}

// Where new art waits for its turn, nothing that is asked of the art before may take its place.
function jobAgain() {
    if (job.name && !job.engine.waiting.has("load")) jobLoad();
}

function jobResize(side, words) {
    Object.assign(job.asked, { wide: "", high: "", [side]: words });
    job.off = state.off;
    jobAgain();
}

function jobOptions() {
    const { wide, high, ink, cut, bit, neck, stock: thick, inch } = job.asked;
    const words = { wide, high, ink: ink === "auto" ? "" : ink, cut, bit, neck, stock: thick };
    return [...Object.entries(words).filter(([, value]) => value), ...(inch ? [["inch", null]] : [])];
}

function jobAnswered(answer) {
    if (answer.what === "failed") {
        if (answer.about === "start") rescue(`The engine of this page does not start here: ${answer.message}.`);
        else jobSay(`${answer.message}.`);
        return;
    }
    if (answer.what !== "load") return;
    const { size, place, pixels, doubts, pieces, drawing, rack: bits, rackNumbers, notes, caution } = answer;
    const { cut, neck, inch } = job.asked, bit = jobLength(job.asked.bit);
    const picture = job.uri ? { uri: job.uri, width: pixels[0], height: pixels[1], place } : null;
    job.on = true;
    jobSay("");
    for (const id of ["high-label", "stock-label"]) by(id).hidden = false;
    by("unwiden").hidden = true;
    by("choose-words").textContent = "Another picture";
    document.title = `${job.name}: narrows`;
    begin({ art: job.name, cut, sizes: [...size, bit, jobLength(neck) || bit, 0, jobLength(job.asked.stock), 0, 0, 0], inch, neckGiven: !!neck, doubts, drawing, pieces,
        rack: bits, rackNumbers, command: "check", options: jobOptions(), ways: null, tabs: null, notes, caution, picture, change: null },
    job.off || new Set());
}

// ---- widening ----------------------------------------------------------------------------------------

// As this command does it.
function jobWiden(command) {
    const remedy = (name) => REMEDIES[(new RegExp(`--${name} (\\w+)`).exec(command) || ["", "keep"])[1]];
    jobSay("Widening \u2026", true);
    later.ask({ ...jobQuestion("widen"), command, stubs: remedy("stubs"), misses: remedy("misses") });
}

// What is widened becomes the art; the command that widens the same stays with it.
function jobWidened({ size, place: [a, b, c, d, e, f], pieces, drawing, change, command }) {
    const given = options(), { cut, bit, neck, neckGiven } = state;
    // From the picture to the art as it was, and on to where that lies now; c and d count from the top.
    const moved = ([p, q, r, s, t, u]) => [a * p - c * q, b * p - d * q, a * r - c * s, b * r - d * s, a * t - c * u + e, b * t - d * u + f];
    const picture = data.picture && { ...data.picture, place: moved(data.picture.place) };
    job.off = state.off;
    jobSay("");
    by("unwiden").hidden = false;
    for (const id of ["high-label", "stock-label"]) by(id).hidden = true;
    const [sure, ...unread] = data.doubts;
    begin({ ...data, doubts: [sure * state.shape.factor, ...unread], cut, sizes: [...size, bit, neck, 0, stock, 0, 0, 0], neckGiven, drawing, pieces, picture, options: given, change,
        widened: [command] });
}

// ---- files out ---------------------------------------------------------------------------------------

// What takes longer, of what is shown now.
function jobQuestion(what) {
    const shape = { ...shapeQuestion(state.shape.wide), factor: state.shape.factor };
    return { what, shape, fit: fitQuestion(0), tabs: tabsAsked() };
}

function jobFile(name) {
    if (data.change && data.change[name] && !isChanged() && !state.tabs) {
        jobSave({ name, content: data.change[name] }); // as it was written, before it was read again
        return;
    }
    jobSay(`Writing ${name} \u2026`, true);
    later.ask({ ...jobQuestion("file"), name, note: `The command for this: ${commandWords().join(" ")}` });
}

function jobSave({ name, content }) {
    const address = URL.createObjectURL(new Blob([content], { type: "application/octet-stream" }));
    const link = Object.assign(document.createElement("a"), { href: address, download: `${data.art.replace(/^.*\//, "").replace(/\.\w+$/, "")}-${name}` });
    job.saved = { name, content };
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
    jobSay("");
}

// ---- the page before there is art ------------------------------------------------------------------

// Empty: nobody says how thick the stock is.
function jobStock() {
    const words = by("stock").value.trim(), length = words ? readLength(words) : 0;
    const good = !words || (length >= SMALLEST_MM && length <= LARGEST_MM);
    by("stock").setAttribute("aria-invalid", !good);
    showWrong(good ? "" : lengthFault(words, LARGEST_MM));
    if (!good) return;
    job.asked.stock = words && withUnit(words);
    job.off = state.off;
    jobAgain();
}

function listenJob() {
    by("stock").addEventListener("change", jobStock);
    by("file").addEventListener("change", () => { if (by("file").files[0]) jobTake(by("file").files[0]); });
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
        event.preventDefault();
        if (event.dataTransfer.files[0]) jobTake(event.dataTransfer.files[0]);
    });
    document.addEventListener("paste", (event) => {
        if (event.clipboardData.files[0]) jobTake(event.clipboardData.files[0]);
    });
    by("unwiden").addEventListener("click", jobAgain);
    by("ink").addEventListener("change", () => { job.asked.ink = by("ink").value; job.off = null; jobAgain(); });
    by("unit").addEventListener("change", () => { job.asked.inch = by("unit").value === "in"; job.off = job.on ? state.off : null; jobAgain(); });
}

function startJob() {
    jobRecall();
    for (const id of ["job", "unit-label", "main"]) by(id).hidden = false;
    document.documentElement.dataset.empty = "";
    by("step-picture").open = true;
    by("ink").value = job.asked.ink;
    by("unit").value = job.asked.inch ? "in" : "mm";
    job.engine = new Engine(by("engine").textContent, {}, jobAnswered);
    listenJob();
}
