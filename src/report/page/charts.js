// Every bit and every size side by side, as the commands bits and sizes print them: a chart that can be touched, and the
// same as a table.
const CHART = { width: 340, height: 170, left: 48, right: 8, top: 12, foot: 28 };

// A width as a maker types it: what a file's digits leave of 240 mm is 239.99999.
function wideTold(mm) {
    return told(Number(mm.toFixed(2)), true);
}

// Each chart: its rows, the length that each is about, its name, and what a touch does.
const CHARTS = {
    bits: { now: () => state.bit, rows: ({ bits }) => bits.filter(({ judged }) => judged), length: ({ diameter }) => diameter, name: ({ name }) => name,
        best: ({ largest }) => largest, closest: ({ closest }) => closest, says: ["Framed: the largest bit that cuts it all", "No bit of the rack cuts it all"], take: ({ diameter }) => chooseBit(lengthWords(diameter, 6)) },
    sizes: { now: () => state.shape.size[0], rows: ({ sizes }) => sizes, length: ({ width }) => width, name: ({ width }) => wideTold(width),
        best: ({ smallest }) => smallest && wideTold(smallest), closest: ({ closest }) => closest && wideTold(closest), says: ["Framed: the smallest at which the bit cuts it all", "The bit cuts it all at none of these"], take: ({ width }) => chooseWidth(lengthWords(width, 5)) },
};

function chartAsk() {
    for (const about in CHARTS) if (by(`${about}-chart`).open) later.ask({ ...laterQuestion(), what: about, ...rackAsked() });
}

function showChart({ about, found, uncut }) {
    const chart = CHARTS[about], words = new Map(found[about].map((row, k) => [row, uncut[k]]));
    chart.uncut = (row) => words.get(row);
    const rows = [...chart.rows(found)].sort((a, b) => chart.length(a) - chart.length(b));
    by(about).replaceChildren(chartDraw(chart, rows), chartTable(chart, rows, found));
    chart.found = found;
}

// Places left or missing: what stands in the way of all that fits.
function chartSpots({ pinches, stubs, misses, necks }) {
    return pinches + stubs + misses + necks;
}

// Across the length, each step of it as wide; up what stays uncut, its root, since most is little.
function chartDraw(chart, rows) {
    const { width, height, left, right, top, foot } = CHART, most = Math.max(...rows.map((row) => row.unreached_share), 1e-6);
    const [least, largest] = [rows[0], rows[rows.length - 1]].map((row) => Math.log(chart.length(row)));
    const x = (row) => left + (width - left - right) * (largest > least ? (Math.log(chart.length(row)) - least) / (largest - least) : .5);
    const y = (share) => height - foot - (height - top - foot) * Math.sqrt(share / most);
    const svg = element("svg", { class: "chart", viewBox: `0 0 ${width} ${height}`, "aria-hidden": true });
    for (const share of [most, most / 4]) {
        element("path", { class: "axis", d: `M${left} ${y(share)}H${width - right}` }, svg);
        element("text", { x: left - 3, y: y(share) + 3, "text-anchor": "end" }, svg).textContent = `${short(100 * share, share < .01 ? 2 : 1)} %`;
    }
    element("path", { class: "axis", d: `M${left} ${y(0)}H${width - right}` }, svg);
    element("path", { class: "curve", d: `M${rows.map((row) => `${x(row)} ${y(row.unreached_share)}`).join("L")}` }, svg);
    for (const row of [rows[0], rows[rows.length - 1]]) element("text", { x: x(row), y: height - 8, "text-anchor": row === rows[0] ? "start" : "end" }, svg).textContent = chart.name(row);
    for (const row of rows) {
        const group = element("g", { class: `${row.fits ? "fits" : "stuck"}${chartNow(chart, row) ? " now" : ""}` }, svg);
        element("circle", { class: "hit", cx: x(row), cy: y(row.unreached_share), r: 12 }, group);
        element("circle", { cx: x(row), cy: y(row.unreached_share), r: row.fits ? 5 : 4 }, group);
        element("title", {}, group).textContent = chartWords(chart, row);
        group.addEventListener("click", () => chart.take(row));
    }
    return svg;
}

function chartWords(chart, row) {
    const spots = chartSpots(row);
    return `${chart.name(row)}: ${row.fits ? "fits" : `${spots} spot${spots === 1 ? "" : "s"}`}, ${chart.uncut(row)} stays uncut`;
}

function chartNow(chart, row) {
    return Math.abs(chart.length(row) - chart.now()) < 1e-4;
}

function chartTable(chart, rows, found) {
    const best = chart.best(found), framed = best || chart.closest(found);
    const table = document.createElement("table"), head = table.createTHead().insertRow();
    table.createCaption().textContent = chart.says[best ? 0 : 1] + (framed && !best ? ". Framed: the closest" : "");
    for (const word of ["", "gaps", "necks", "uncut"]) head.appendChild(Object.assign(document.createElement("th"), { textContent: word, scope: "col" }));
    const body = table.createTBody();
    for (const row of rows) {
        const line = body.insertRow(), button = Object.assign(document.createElement("button"), { type: "button", textContent: chart.name(row) });
        line.className = [row.fits ? "fits" : "", chart.name(row) === framed ? "best" : ""].join(" ");
        button.addEventListener("click", () => chart.take(row));
        if (chartNow(chart, row)) button.setAttribute("aria-current", true);
        line.insertCell().append(button);
        const uncut = chart.uncut(row).replace("under ", "<").replace("over ", ">"); // as the commands' tables have it
        for (const words of [row.pinches + row.stubs + row.misses, row.necks, uncut]) line.insertCell().textContent = words;
    }
    return table;
}

function listenCharts() {
    for (const about in CHARTS) by(`${about}-chart`).addEventListener("toggle", () => { if (state && state.answer) chartAsk(); });
}
