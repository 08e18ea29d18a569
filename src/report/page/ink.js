// The art's pieces in the drawing, as a click finds them.

const ALONE = 2000; // so many at most are elements of their own; more would make each change slow

class Ink {
    // pieces: the path data of each; numberOf(piece): its number for the reader
    constructor(layer, edges, pieces, numberOf) {
        [this.layer, this.pieces] = [layer, pieces];
        this.edges = ["edge", "edge off"].map((name) => element("path", { class: name }, edges));
        this.together = pieces.size > ALONE;
        const kinds = this.together ? [["ink", ""], ["ink off", ""]] : [...pieces].map(([, d]) => ["ink", d]);
        this.nodes = kinds.map(([name, d]) => element("path", { class: name, d, "fill-rule": "evenodd" }, layer));
        if (!this.together) this.nameEach([...pieces.keys()], numberOf);
        this.light = element("path", { class: "lit" }, layer);
    }

    nameEach(pieces, numberOf) {
        for (const [k, piece] of pieces.entries()) {
            this.nodes[k].dataset.piece = piece;
            const number = numberOf(piece);
            if (number) element("title", {}, this.nodes[k]).textContent = `piece ${number}: click to leave it out`;
        }
    }

    show(off) {
        const joined = (gone) => [...this.pieces].filter(([piece]) => off.has(piece) === gone).map(([, d]) => d).join("");
        const shown = [joined(false), joined(true)];
        shown.forEach((d, k) => this.edges[k].setAttribute("d", d));
        if (this.together) shown.forEach((d, k) => this.nodes[k].setAttribute("d", d));
        else for (const node of this.nodes) node.classList.toggle("off", off.has(Number(node.dataset.piece)));
    }

    lit(piece, on) {
        this.light.setAttribute("d", on ? this.pieces.get(piece) : "");
    }

    // The piece under an event at that place of the art's; null: none.
    at(event, x, y) {
        const node = event.target.closest(".ink");
        if (!node) return null;
        return this.together ? this.find(x, y) : Number(node.dataset.piece);
    }

    find(x, y) {
        const canvas = document.createElement("canvas").getContext("2d");
        for (const [piece, d] of this.pieces) {
            if (canvas.isPointInPath(new Path2D(d), x, y, "evenodd")) return piece;
        }
        return null;
    }
}
