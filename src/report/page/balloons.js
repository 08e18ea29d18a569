// The numbers of the spots in the drawing: each in a balloon beside its place, on a leader. They keep their size on the
// screen, whatever the zoom, and their nodes while the slider moves.
const BALLOONS = 200, BALLOONS_MOVING = 60, ROOM = 9000; // at most, and while the slider moves; the square pixels that each must have
// Where a balloon's head may stand beside its spot, in pixels, the best place first.
const HEADS = [28, 48, 70, 95].flatMap((far) => [-45, -135, 45, 135, -90, 0, 90, 180]
    .map((angle) => [far * Math.cos(angle * Math.PI / 180), far * Math.sin(angle * Math.PI / 180)]));
// Round for gaps, square for necks, so that nothing hangs on colour.
const BALLOON_SHAPES = { gap: (r) => `M${-r} 0A${r} ${r} 0 1 0 ${r} 0A${r} ${r} 0 1 0 ${-r} 0Z`, neck: (r) => `M${-r} ${-r}H${r}V${r}H${-r}Z` };

class Balloons {
    constructor(view, layer) {
        Object.assign(this, { view, layer, all: [], covers: [] });
    }

    show(spots, moving, selected, onSpot) {
        const most = moving ? BALLOONS_MOVING : BALLOONS, shown = [...spots.keys()].filter((index) => index < most || index === selected);
        while (this.all.length > shown.length) this.all.pop().node.remove();
        while (this.all.length < shown.length) this.all.push(this.make(onSpot));
        for (const [k, index] of shown.entries()) this.put(this.all[k], spots[index], index, index === selected);
        this.place(moving);
    }

    // The worst is on top.
    make(onSpot) {
        const node = element("g", { class: "spot" }), leader = element("line", { class: "leader", x1: 0, y1: 0 }, node), head = element("g", {}, node);
        const balloon = { node, leader, head, shape: element("path", { class: "balloon" }, head), number: element("text", { class: "number" }, head), title: element("title", {}, node) };
        node.addEventListener("click", () => this.view.moved || onSpot(balloon.index));
        this.layer.prepend(node);
        return balloon;
    }

    put(balloon, { at, side, words }, index, current) {
        const size = index === 0 || current ? 13 : 10;
        Object.assign(balloon, { at, index, size, needed: index === 0 || current });
        balloon.node.dataset.index = index;
        balloon.node.classList.toggle("worst", index === 0);
        balloon.node.classList.toggle("current", current);
        put(balloon.shape, { d: BALLOON_SHAPES[side](size) });
        put(balloon.number, { "font-size": size + 1 });
        for (const [node, text] of [[balloon.number, String(index + 1)], [balloon.title, words]]) if (node.textContent !== text) node.textContent = text;
    }

    light(index, on) {
        const balloon = this.all.find((one) => one.index === index);
        if (balloon) balloon.node.classList.toggle("lit-spot", on);
    }

    // `moving`: what covers them is where it was.
    place(moving = false) {
        const { pixel } = this.view;
        for (const { node, at: [x, y] } of this.all) put(node, { transform: `translate(${x} ${y}) scale(${pixel} ${-pixel})` });
        if (!moving) this.covers = [this.view.svg, by("zoom"), by("card"), by("legend")].map((over) => over.getBoundingClientRect());
        this.spread();
    }

    // Each head goes where it covers none of those before it, the worst first. Those that find no
    // place, or are too many for the screen, wait until the reader looks nearer.
    spread() {
        const { x: middle, y: level, pixel } = this.view, [{ left, top, width, height }, ...over] = this.covers;
        const taken = over.map((box) => ({ x: box.left + box.width / 2 - left - width / 2, y: box.top + box.height / 2 - top - height / 2, wide: box.width / 2, high: box.height / 2 }));
        const covers = taken.length;
        for (const { node, leader, head: group, at, size, needed } of this.all) {
            const x = (at[0] - middle) / pixel, y = (level - at[1]) / pixel;
            const inside = (dx, dy) => Math.abs(x + dx) + size < width / 2 && Math.abs(y + dy) + size < height / 2;
            const free = ([dx, dy]) => inside(dx, dy) && taken.every((t) => Math.abs(t.x - x - dx) > t.wide + size + 1 || Math.abs(t.y - y - dy) > t.high + size + 1);
            const seen = Math.abs(x) < width / 2 && Math.abs(y) < height / 2 && taken.length - covers < width * height / ROOM;
            const head = (needed || seen) && HEADS.find(free), shown = needed || (seen && head);
            node.style.display = shown ? "" : "none";
            if (!shown) continue;
            const [dx, dy] = head || HEADS[0];
            taken.push({ x: x + dx, y: y + dy, wide: size, high: size });
            put(leader, { x2: dx, y2: dy });
            put(group, { transform: `translate(${dx} ${dy})` });
        }
        if (this.view.onBalloons) this.view.onBalloons(taken.length - covers);
    }
}
