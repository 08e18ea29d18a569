// The drawing on the screen: layers in millimetres, y up, and where the reader looks.
const SVG = "http://www.w3.org/2000/svg";
const MANY = 2000; // segments: the outline, too, is kept as it was painted while what the bit does changes
const CLEAR = 8; // pixels between the art and a bar that made it smaller
const GROUND = ["sheet", "ink", "picture"];
const ENGINES = ["loose", "reach", "lost", "path", "tabs"]; // layers of the engine's shapes, y down

function element(name, attributes, parent) {
    const node = document.createElementNS(SVG, name);
    for (const key in attributes) node.setAttribute(key, attributes[key]);
    if (parent) parent.appendChild(node);
    return node;
}

// Only what is another: all that is set is drawn anew.
function put(node, attributes) {
    for (const key in attributes) if (node.getAttribute(key) !== String(attributes[key])) node.setAttribute(key, attributes[key]);
}

// Rounded as the command does it, without zeros at the end.
function short(number, places = 3) {
    return String(Math.round(number * 10 ** places) / 10 ** places);
}

// Outlines are made of lines (kind 0) and curves; only the engine's shapes have arcs.
function pathData(path) {
    let data = `M${short(path.x, 4)} ${short(path.y, 4)}`;
    for (const [kind, ...places] of path.steps) {
        const used = kind === 0 ? places.slice(4) : places;
        data += (kind === 0 ? "L" : "C") + used.map((n) => short(n, 4)).join(" ");
    }
    return `${data}Z`;
}

// The outlines as page.c wrote them: paths with their pieces.
function readDrawing(numbers) {
    const paths = [];
    for (let at = 0; at < numbers.length;) {
        const path = { piece: numbers[at], x: numbers[at + 3], y: numbers[at + 4], steps: [] };
        const steps = numbers[at + 2];
        at += 5;
        for (let k = 0; k < steps; k++, at += 7) path.steps.push(numbers.subarray(at, at + 7));
        paths.push(path);
    }
    return paths;
}

class View {
    // art: { size, paths, picture, numberOf }; onPiece(piece) when a piece is clicked
    constructor(svg, art, onPiece) {
        this.svg = svg;
        this.size = art.size;
        this.factor = 1;
        this.corner = [0, 0];
        const hatch = element("pattern", { id: "hatch", width: 6, height: 6, patternUnits: "userSpaceOnUse" },
            element("defs", {}, svg));
        element("rect", { class: "hatch-ground", width: 6, height: 6 }, hatch);
        element("rect", { class: "hatch-line", width: 2.4, height: 6 }, hatch);
        this.hatch = hatch;
        this.world = element("g", { "aria-hidden": true }, svg); // the lists tell it
        this.layers = {};
        this.lifts = [];
        const ground = element("g", { class: "ground" }, this.world); // what is the same for all bits
        for (const name of ["sheet", "ink", "picture", "loose", "reach", "before", "plan", "lost", "outline", "path", "tabs", "spots", "finger", "ruler"]) {
            this.layers[name] = element("g", { "data-name": name }, GROUND.includes(name) ? ground : this.world);
            if (ENGINES.includes(name)) this.layers[name].setAttribute("transform", "scale(1 -1)");
        }
        svg.toggleAttribute("data-many", art.paths.reduce((sum, { steps }) => sum + steps.length, 0) > MANY);
        this.drawArt(art, onPiece);
        this.makeResult();
        this.whole();
        this.listen();
    }

    drawArt(art, onPiece) {
        const sheet = 10 * Math.max(...this.size);
        element("rect", { class: "sheet", x: -sheet, y: -sheet, width: 2 * sheet, height: 2 * sheet }, this.layers.sheet);
        const pieces = new Map();
        for (const path of art.paths) pieces.set(path.piece, (pieces.get(path.piece) || "") + pathData(path));
        this.ink = new Ink(this.layers.ink, this.layers.outline, pieces, art.numberOf);
        this.layers.ink.addEventListener("click", (event) => {
            const piece = this.moved || this.touched || this.takes ? null : this.pieceAt(event);
            if (piece !== null) onPiece(piece);
        });
        this.waiting = art.picture;
        if (art.change) this.drawChange(art.change);
    }

    // Behind the rest, once that is worked out: it is decoded again for the screen, and the verdict is what is waited for.
    showPicture() {
        if (!this.waiting) return;
        const { uri, width, height, place } = this.waiting;
        element("image", { href: uri, width, height, preserveAspectRatio: "none",
            transform: `matrix(${Array.from(place).join(" ")})` }, this.layers.picture);
        this.waiting = null;
    }

    // What widening would do; its shapes are y down, from this corner.
    showPlan(plan, corner) {
        this.layers.plan.replaceChildren();
        if (!plan) return;
        const layer = element("g", { transform: `translate(${corner[0]} ${corner[1]}) scale(1 -1)` }, this.layers.plan);
        for (const name of ["added", "removed"]) element("path", { class: name, d: plan[name], "fill-rule": "evenodd" }, layer);
    }

    // Places on the outline that can be taken hold of.
    showGrips(places) {
        this.layers.finger.querySelectorAll(".grip").forEach((grip) => grip.remove());
        for (const [cx, cy] of places) element("circle", { class: "grip", cx, cy, r: 7 * this.pixel }, this.layers.finger);
    }

    // What widening did; its shapes are y down.
    drawChange(change) {
        const layer = element("g", { transform: "scale(1 -1)" }, this.layers.before);
        for (const name of ["added", "removed", "before"]) {
            element("path", { class: name, d: change[name], "fill-rule": "evenodd" }, layer);
        }
    }

    // The art as it is now: so many times the size that the layers are drawn at, its lower left
    // corner at that place of theirs.
    shape(corner, size, factor) {
        const shift = [0, 1].map((k) => (this.corner[k] - corner[k]) * factor);
        const resized = factor !== this.factor;
        [this.corner, this.size, this.factor] = [corner, size, factor];
        for (const name of ["ink", "picture", "before", "outline"]) {
            this.layers[name].setAttribute("transform", `scale(${factor}) translate(${-corner[0]} ${-corner[1]})`);
        }
        if (resized) this.whole();
        else if (shift[0] || shift[1]) this.place(this.x + shift[0], this.y + shift[1], this.height);
    }

    // Where the reader looks: x and y of the middle and the height of what is seen, in millimetres.
    place(x, y, height) {
        [this.x, this.y, this.height, this.all] = [x, y, height, false];
        const box = this.svg.getBoundingClientRect();
        const width = height * (box.height ? box.width / box.height : 1);
        this.svg.setAttribute("viewBox", `${x - width / 2} ${-y - height / 2} ${width} ${height}`);
        this.world.setAttribute("transform", "scale(1 -1)");
        this.pixel = height / (box.height || 600);
        this.hatch.setAttribute("patternTransform", `rotate(45) scale(${this.pixel})`);
        this.placeLifts();
        this.balloons.place();
        if (this.onPlace) this.onPlace();
    }

    // So that this place is seen.
    show([x, y]) {
        const high = .45 * this.height, box = this.svg.getBoundingClientRect(), wide = box.height ? high * box.width / box.height : high;
        const near = (middle, at, room) => middle + Math.min(0, at - middle + room) + Math.max(0, at - middle - room);
        this.place(near(this.x, x, wide), near(this.y, y, high), this.height);
    }

    // All of the art, beside the bars over the drawing that would hide some of it.
    whole() {
        const [wide, high] = this.size, gap = .16 * Math.max(wide, high), box = this.svg.getBoundingClientRect();
        const room = { top: box.top, bottom: box.bottom || box.top + 600 }, middle = (box.left + box.right) / 2;
        const fits = Math.min((room.bottom - room.top) / (high + gap), (box.width || Infinity) / (wide + gap));
        const scale = () => Math.min(fits, (room.bottom - room.top - 2 * CLEAR) / high) / 2; // pixels to half a millimetre
        const bars = ["zoom", "card", "legend"].map((id) => by(id).getBoundingClientRect()).filter(({ width }) => width);
        for (const bar of [...bars, ...bars]) { // what makes room for the second may come under the first
            const half = scale(), level = (room.top + room.bottom) / 2;
            if (bar.right < middle - half * wide || bar.left > middle + half * wide || bar.bottom < level - half * high || bar.top > level + half * high) continue;
            if (bar.top + bar.bottom < box.top + box.bottom) room.top = bar.bottom;
            else room.bottom = bar.top;
        }
        const pixel = .5 / scale();
        this.place(wide / 2, high / 2 + (room.top + room.bottom - box.top - box.bottom) / 2 * pixel, (box.height || 600) * pixel);
        this.all = true; // and stays so when the window changes
    }

    zoom(by, [x, y] = [this.x, this.y]) {
        const height = Math.min(Math.max(this.height * by, .05), 20 * Math.max(...this.size));
        const real = height / this.height;
        this.place(x + (this.x - x) * real, y + (this.y - y) * real, height);
    }

    toMillimetres({ clientX, clientY }) {
        const point = new DOMPoint(clientX, clientY).matrixTransform(this.svg.getScreenCTM().inverse());
        return [point.x, -point.y];
    }

    pieceAt(event) {
        const [x, y] = this.toMillimetres(event);
        return this.ink.at(event, x / this.factor + this.corner[0], y / this.factor + this.corner[1]);
    }

    listen() {
        this.svg.addEventListener("wheel", (event) => {
            event.preventDefault();
            const pixels = event.deltaY * (event.deltaMode === 1 ? 30 : 1); // some wheels count lines
            this.zoom(Math.exp(pixels * (event.ctrlKey ? .01 : .0015)), this.toMillimetres(event)); // with Ctrl: two fingers on a pad
        }, { passive: false });
        this.listenDrag();
        this.watch = new ResizeObserver(() => this.all ? this.whole() : this.place(this.x, this.y, this.height));
        this.watch.observe(this.svg);
    }

    // Another drawing takes its place.
    end() {
        this.watch.disconnect();
    }

    // One finger or button moves, or uses the tool; two fingers move and zoom about where they are.
    listenDrag() {
        const held = new Map();
        this.svg.addEventListener("pointerdown", (event) => {
            held.set(event.pointerId, event);
            this.moved = held.size > 1;
            this.touched = event.pointerType !== "mouse"; // a finger taps to measure
            if (this.takes && held.size === 1) this.takes("down", this.toMillimetres(event));
        });
        const release = (event) => {
            if (held.delete(event.pointerId) && this.takes && !held.size && !this.moved) this.takes("up", this.toMillimetres(event));
        };
        for (const name of ["pointerup", "pointercancel", "pointerleave"]) this.svg.addEventListener(name, release);
        this.svg.addEventListener("pointermove", (event) => {
            const last = held.get(event.pointerId);
            if (!last) return;
            if (this.takes && held.size === 1 && !this.moved) {
                this.takes("move", this.toMillimetres(event));
                return;
            }
            const [dx, dy] = [event.clientX - last.clientX, event.clientY - last.clientY];
            if (Math.hypot(dx, dy) < 4 && !this.moved) return;
            this.moved = true;
            const before = [...held.values()];
            held.set(event.pointerId, event);
            if (held.size === 1) this.place(this.x - dx * this.pixel, this.y + dy * this.pixel, this.height);
            if (held.size === 2) this.pinch(before, [...held.values()]);
        });
    }

    // What was between two fingers stays between them.
    pinch(before, after) {
        const middle = ([a, b]) => ({ clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 });
        const apart = ([a, b]) => Math.max(1, Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY));
        const at = this.toMillimetres(middle(before));
        this.zoom(apart(before) / apart(after), at);
        const now = this.toMillimetres(middle(after));
        this.place(this.x + at[0] - now[0], this.y + at[1] - now[1], this.height);
    }

    // The ruler between its ends, and the cross that keys move.
    showRuler(ends, cross) {
        const layer = this.layers.ruler, grip = 6 * this.pixel;
        layer.replaceChildren();
        if (ends.length) {
            const [[x1, y1], [x2, y2]] = ends;
            element("line", { class: "ruler-line", x1, y1, x2, y2 }, layer);
            for (const [cx, cy] of ends) element("circle", { class: "ruler-end", cx, cy, r: grip }, layer);
        }
        if (cross) element("path", { class: "ruler-line", d: `M${cross[0] - 2 * grip} ${cross[1]}h${4 * grip}M${cross[0]} ${cross[1] - 2 * grip}v${4 * grip}` }, layer);
    }

    showLayer(name, on) {
        this.layers[name].style.display = on ? "" : "none";
    }

    fill(name, attributes) {
        this.layers[name].replaceChildren();
        if (attributes.d) element("path", attributes, this.layers[name]);
    }

    // What comes loose, and what holds it.
    showHeld({ loose, tabs, bridges }) {
        this.fill("loose", { class: "loose", d: loose, "fill-rule": "evenodd" });
        this.layers.tabs.replaceChildren();
        if (bridges) element("path", { class: "bridge", d: bridges }, this.layers.tabs);
        if (tabs) element("path", { class: "tab", d: tabs }, this.layers.tabs);
    }

    // Of what the engine gives anew for every bit.
    makeResult() {
        const { reach, lost, path, spots } = this.layers, made = (name, layer) => element("path", { class: name, "fill-rule": "evenodd" }, layer);
        this.shapes = { reach: made("reach", reach), path: made("path", path), corner: made("corner", lost), gap: made("gap", lost), neck: made("neck", lost) };
        this.marks = { lift: element("path", { class: "lift" }, spots), halt: element("circle", { class: "halt" }, spots), measure: element("path", { class: "measure" }, spots) };
        this.balloons = new Balloons(this, element("g", {}, spots));
    }

    // Outside, what is cut has no end, so the strip that the bit takes stands for it.
    showResult({ result, bit, neck, skip }, cut, selected, onSpot) {
        const { data, spots } = result, outside = cut === "outside", { shapes, marks } = this, chosen = spots[selected];
        put(this.svg, { class: `cut-${cut}` });
        put(shapes.reach, { d: (outside ? data.way : data.reach) || "", "stroke-width": outside ? bit : 0 });
        put(shapes.path, { d: data.way || "" });
        put(shapes.corner, { d: data.corners });
        for (const side of ["gap", "neck"]) put(shapes[side], { d: data[side] });
        put(marks.measure, { d: spots.slice(0, BALLOONS).filter(({ form }) => form === "pinch").map(({ from, to }) => `M${from}L${to}`).join("") });
        marks.halt.toggleAttribute("hidden", !chosen || chosen.form === "miss");
        if (chosen) put(marks.halt, { cx: chosen.stuck[0], cy: chosen.stuck[1], r: (chosen.side === "gap" ? bit : neck) / 2 });
        this.lifts = result.lifts.slice(0, 500);
        this.placeLifts();
        this.balloons.show(spots, skip > 0, selected, onSpot);
    }

    placeLifts() {
        const p = this.pixel;
        put(this.marks.lift, { d: this.lifts.map(({ at: [x, y] }) => `M${x} ${y + 7 * p}l${6 * p} ${-11 * p}h${-12 * p}z`).join("") });
    }

    // The bit beside the outline, and the largest circle that touches it there.
    showFinger(disc, bit) {
        this.layers.finger.replaceChildren();
        if (!disc) return;
        const [x, y] = disc.at, [nx, ny] = disc.normal;
        const fits = disc.radius >= bit / 2 - .0025;
        if (!disc.open) {
            element("circle", { class: "largest", cx: x + nx * disc.radius, cy: y + ny * disc.radius, r: disc.radius },
                this.layers.finger);
        }
        element("circle", { class: `bit ${fits ? "fits" : "stuck"}`, cx: x + nx * bit / 2, cy: y + ny * bit / 2, r: bit / 2 },
            this.layers.finger);
        const touch = element("circle", { class: "touch", cx: x, cy: y, r: 3 * this.pixel }, this.layers.finger);
        touch.setAttribute("stroke-width", this.pixel);
    }
}
