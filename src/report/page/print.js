// On paper: the marked drawing's art at true size, in tiles that fit A4 and Letter, held upright or across as needs fewer
// sheets, with marks in the corners to lay the tiles together by and rulers to check the printer by; then the words.
const UPRIGHT = { width: 180, height: 232, overlap: 10, edge: 5, foot: 10 }, ACROSS = { ...UPRIGHT, width: 250, height: 172 };
const THIN = { stroke: "#000", "stroke-width": .2, fill: "none" };

function printRuler(parent, x, y, upright) {
    const place = `translate(${x} ${y})${upright ? " rotate(-90)" : ""}`;
    const ruler = element("g", { ...THIN, class: "ruler", transform: place }, parent);
    let d = "M0 0H100";
    for (let k = 0; k <= 100; k += 1) d += `M${k} 0V${k % 10 === 0 ? -3.5 : k % 5 === 0 ? -2.5 : -1.5}`;
    element("path", { d }, ruler);
    const text = element("text", { x: 102, y: 0, "font-size": 3, fill: "#000", stroke: "none" }, ruler);
    text.textContent = upright ? "100 mm" : "100 mm: measure it; if it is not, print at 100 %";
}

function printMarks(parent, { width, height, overlap }) {
    for (const x of [overlap / 2, width - overlap / 2]) {
        for (const y of [overlap / 2, height - overlap / 2]) {
            element("path", { ...THIN, class: "mark", d: `M${x - 4} ${y}H${x + 4}M${x} ${y - 4}V${y + 4}` }, parent);
            element("circle", { ...THIN, cx: x, cy: y, r: 2 }, parent);
        }
    }
}

function printTile(art, x, y, name, { width, height, edge, foot }) {
    const tile = element("svg", { class: "tile", width: `${width + edge}mm`, height: `${height + foot}mm`, viewBox: `0 0 ${width + edge} ${height + foot}` });
    element("svg", { class: "tile-art", width, height, viewBox: `${x} ${y} ${width} ${height}` }, tile).append(...art.map((node) => node.cloneNode(true)));
    printRuler(tile, 0, height + 6, false);
    printRuler(tile, width + 4.5, height, true);
    element("text", { x: width, y: height + 9, "font-size": 3, "text-anchor": "end" }, tile).textContent = name;
    return tile;
}

// The marked drawing of what is asked, without the declaration that only a file begins with. A browser that prints waits for
// nothing, so the page's own engine works it out.
function printDrawing() {
    front.start(later.art);
    const { content } = front.file({ ...laterQuestion(), name: "marked.svg" });
    return content.slice(content.indexOf("<svg"));
}

function printPrepare() {
    if (!state || !state.answer) return;
    try {
        printBuild(printDrawing(), by("print"));
    } catch (error) {
        by("print").textContent = `${error.message}.`;
    }
}

function printTiling({ width, height }, tile) {
    const along = (long, size) => Math.max(1, Math.ceil((long - tile.overlap - 1e-6) / (size - tile.overlap)));
    return { tile, columns: along(width, tile.width), rows: along(height, tile.height) };
}

// What stands on the sheet from the art to the last balloon: what has a name. Words stand before and after.
function printArt(sheet) {
    const parts = [...sheet.querySelector("g").children], named = parts.map(({ id }) => !!id);
    return parts.slice(named.indexOf(true), named.lastIndexOf(true) + 1);
}

// Where it is, as the browser lays it out.
function printBox(sheet, parts, into) {
    const store = element("svg", { width: 1, height: 1 });
    const group = element("g", {}, store);
    group.appendChild(sheet.querySelector("g").cloneNode(false)).append(...parts.map((node) => node.cloneNode(true)));
    into.replaceChildren(store);
    into.style.display = "block";
    const box = group.getBBox();
    into.style.display = "";
    return { x: box.x - 1, y: box.y - 1, width: box.width + 2, height: box.height + 2 };
}

// The marked drawing was written by narrows itself: text in it is escaped, and it holds no script.
function printBuild(svg, into) {
    const sheet = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
    const parts = printArt(sheet), box = printBox(sheet, parts, into);
    const { tile, columns, rows } = [UPRIGHT, ACROSS].map((one) => printTiling(box, one)).reduce((a, b) => b.columns * b.rows < a.columns * a.rows ? b : a);
    const art = [...sheet.querySelectorAll("defs"), ...parts];
    const lettered = sheet.querySelector("g").cloneNode(false);
    lettered.append(...art);
    const tiles = [];
    for (let row = 0; row < rows; row++) {
        for (let column = 0; column < columns; column++) {
            const name = rows * columns > 1 ? `row ${row + 1} of ${rows}, column ${column + 1} of ${columns}` : "";
            const made = printTile([lettered], box.x + column * (tile.width - tile.overlap), box.y + row * (tile.height - tile.overlap), name, tile);
            if (name) printMarks(made, tile);
            tiles.push(made);
        }
    }
    const style = Object.assign(document.createElement("style"), { textContent: `@page { size: ${tile === ACROSS ? "landscape" : "portrait"}; }` });
    into.replaceChildren(style, ...tiles, printWords(columns, rows));
    // Some browsers lay out what is new only when somebody asks where it is.
    into.style.display = "block";
    into.getBoundingClientRect();
    into.style.display = "";
}

// All the words on a sheet of their own, as they are on the screen.
function printWords(columns, rows) {
    const words = Object.assign(document.createElement("section"), { className: "words" });
    const add = (name, ...content) => words.appendChild(document.createElement(name)).append(...content);
    add("h1", by("verdict").textContent);
    for (const id of ["subject", "counts", "doubts", "loose", "account"]) if (by(id).textContent) add("p", ...[...by(id).childNodes].map((node) => node.cloneNode(true)));
    for (const note of by("notes").children) add("p", note.textContent);
    const { spots, corners } = state.answer.result, side = (name) => spots.some((spot) => spot.side === name);
    const colours = ["pale blue: cut", side("gap") && "orange: gap, left uncut", side("neck") && "hatched blue: neck, too thin", corners.count && "amber: rounded corner"];
    add("p", `${colours.filter(Boolean).join("; ")}.`);
    if (columns * rows > 1) add("p", `The art is on ${columns * rows} sheets, ${rows} row${rows === 1 ? "" : "s"} of ${columns}, which overlap by ${UPRIGHT.overlap} mm: lay mark on mark.`);
    const list = words.appendChild(document.createElement("ol"));
    for (const { words: line } of spots.slice(0, LISTED)) list.appendChild(document.createElement("li")).append(line);
    if (by("more").textContent) add("p", by("more").textContent);
    add("p", Object.assign(document.createElement("code"), { textContent: by("command").textContent }));
    add("p", front.caution());
    return words;
}
