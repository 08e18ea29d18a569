// The rack's bits as ticks under the slider, their names aslant below, and as a list.

// In pixels: ticks, the way to the names, how far apart names stand, degrees of their slant, their
// size, how far along them a finger finds them, and how much sooner the last begins, which hangs over.
const RACK = { tick: 4, name: 13, apart: 15, slant: 60, size: 11.5, touch: 45, over: 8 };

// Places no nearer to each other than `apart` and as near to those wanted as can be, which ascend:
// neighbours that are too near become one block at their mean (isotonic regression: Ayer, Brunk,
// Ewing, Reid and Silverman, Annals of Mathematical Statistics 26, 1955).
function spread(wanted, apart, room) {
    const blocks = [];
    for (const [k, x] of wanted.entries()) {
        blocks.push({ sum: x - k * apart, count: 1 });
        for (let last = blocks.length - 1; last > 0; last--) {
            const [before, block] = [blocks[last - 1], blocks[last]];
            if (before.sum / before.count <= block.sum / block.count) break;
            blocks.splice(last - 1, 2, { sum: before.sum + block.sum, count: before.count + block.count });
        }
    }
    const least = 0, most = room - (wanted.length - 1) * apart;
    return blocks.flatMap(({ sum, count }) => Array(count).fill(Math.min(Math.max(sum / count, least), most)))
        .map((y, k) => y + k * apart);
}

// Those that get a name: all, or where there is no room for all those that stand freest.
function named(places, room) {
    const kept = places.map((_, k) => k);
    const freedom = (at) => Math.min(...[at - 1, at + 1].filter((i) => i in kept).map((i) => Math.abs(places[kept[i]] - places[kept[at]])));
    while (kept.length > 1 && (kept.length - 1) * RACK.apart > room) {
        const free = kept.map((_, at) => freedom(at));
        kept.splice(free.indexOf(Math.min(...free)), 1);
    }
    return kept;
}

function rackDraw(bits, onBit) {
    const room = by("rack").clientWidth;
    const svg = element("svg", { width: room, height: "100%", "aria-hidden": true });
    const places = bits.map(({ diameter }) => toSlider(diameter) / 1000 * room);
    const kept = named(places, room - RACK.over), names = spread(kept.map((k) => places[k]), RACK.apart, room - RACK.over);
    for (const [k, bit] of bits.entries()) {
        const group = element("g", { class: "rack-bit", "data-bit": bit.diameter }, svg);
        const x = places[k], at = kept.indexOf(k), to = names[at];
        element("title", {}, group).textContent = `${bit.name}: ${told(bit.diameter, true)}`;
        element("path", { d: `M${x} 0V${RACK.tick}${at < 0 ? "" : `L${to} ${RACK.name - 3}`}` }, group);
        if (at >= 0) {
            const [along, down] = [Math.cos, Math.sin].map((f) => f(RACK.slant * Math.PI / 180) * RACK.touch);
            element("path", { class: "hit", d: `M${x} 0L${to} ${RACK.name}l${along} ${down}` }, group);
            element("text", { transform: `translate(${to - 2} ${RACK.name}) rotate(${RACK.slant})`, "font-size": RACK.size,
                "dominant-baseline": "central" }, group).textContent = bit.name;
        }
        group.addEventListener("click", () => onBit(bit));
    }
    by("rack").replaceChildren(svg);
    markRack(state.bit);
}

let rackWatch = null;

// onBit(bit) when one is chosen.
function showRack(rack, onBit) {
    const bits = [...rack].sort((a, b) => a.diameter - b.diameter);
    by("rack-label").hidden = !bits.length;
    by("rack-list").replaceChildren(new Option("none", ""), ...bits.map(({ name, diameter }) => new Option(name, diameter)));
    by("rack-list").onchange = () => {
        const bit = bits.find(({ diameter }) => String(diameter) === by("rack-list").value);
        if (bit) onBit(bit);
    };
    const shown = bits.filter(({ diameter }) => diameter >= slider.least && diameter <= slider.most);
    if (rackWatch) rackWatch.disconnect();
    rackWatch = new ResizeObserver(() => rackDraw(shown, onBit));
    rackWatch.observe(by("rack"));
}

// Marks the bit of this diameter and returns its name, if there is one.
function markRack(diameter) {
    const near = (value) => Math.abs(value - diameter) < 1e-5;
    for (const bit of by("rack").querySelectorAll(".rack-bit")) bit.classList.toggle("now", near(bit.dataset.bit));
    const chosen = [...by("rack-list").options].find(({ value }) => value && near(value));
    by("rack-list").value = chosen ? chosen.value : "";
    return chosen && chosen.text;
}
