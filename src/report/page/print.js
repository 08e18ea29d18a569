// On paper: the marked drawing at true size, in tiles that fit A4 and Letter, with marks in the
// corners to lay the tiles together by, and rulers to check the printer by.
const TILE = { width: 180, height: 232, overlap: 10, edge: 5, foot: 10 };
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

function printMarks(parent) {
    const { width, height, overlap } = TILE;
    for (const x of [overlap / 2, width - overlap / 2]) {
        for (const y of [overlap / 2, height - overlap / 2]) {
            element("path", { ...THIN, class: "mark", d: `M${x - 4} ${y}H${x + 4}M${x} ${y - 4}V${y + 4}` }, parent);
            element("circle", { ...THIN, cx: x, cy: y, r: 2 }, parent);
        }
    }
}

function printTile(x, y, name) {
    const tile = element("svg", { class: "tile", width: `${TILE.width + TILE.edge}mm`,
        height: `${TILE.height + TILE.foot}mm`, viewBox: `0 0 ${TILE.width + TILE.edge} ${TILE.height + TILE.foot}` });
    const window = element("svg", { width: TILE.width, height: TILE.height,
        viewBox: `${x} ${y} ${TILE.width} ${TILE.height}` }, tile);
    element("use", { href: "#print-sheet" }, window);
    if (name) printMarks(tile);
    printRuler(tile, 0, TILE.height + 6, false);
    printRuler(tile, TILE.width + 4.5, TILE.height, true);
    element("text", { x: TILE.width, y: TILE.height + 9, "font-size": 3, "text-anchor": "end" }, tile).textContent = name;
    return tile;
}

// There is a drawing for what is shown after so many answers.
function printable(svg, answers) {
    state.marked = svg;
    document.documentElement.dataset.printable = answers;
    if (state.printing) printNow();
}

// A print that is asked for before there is a drawing comes when there is one.
function printNow() {
    state.printing = !state.marked;
    if (state.marked) window.print();
}

function printPrepare() {
    if (state.marked) printBuild(state.marked, by("print"));
    else by("print").textContent = "The drawing was not worked out yet. Please print again in a moment.";
}

// The marked drawing was written by narrows itself: text in it is escaped, and it holds no script.
function printBuild(svg, into) {
    const sheet = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
    const [left, top, width, height] = sheet.getAttribute("viewBox").split(" ").map(Number);
    const store = element("svg", { width: 0, height: 0, class: "store" });
    element("g", { id: "print-sheet" }, store).append(...sheet.children);
    const white = Number(store.querySelector("text").getAttribute("x")); // no tile for a white edge: words begin where it ends
    const stepX = TILE.width - TILE.overlap, stepY = TILE.height - TILE.overlap;
    const columns = Math.ceil((width - white - TILE.overlap) / stepX), rows = Math.ceil((height - white - TILE.overlap) / stepY);
    const tiles = [store];
    for (let row = 0; row < rows; row++) {
        for (let column = 0; column < columns; column++) {
            const name = rows * columns > 1 ? `row ${row + 1} of ${rows}, column ${column + 1} of ${columns}` : "";
            tiles.push(printTile(left + column * stepX, top + row * stepY, name));
        }
    }
    into.replaceChildren(...tiles);
    // Some browsers lay out copies only when somebody asks where they are.
    into.style.display = "block";
    into.getBoundingClientRect();
    into.style.display = "";
}
