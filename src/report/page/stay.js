// What the pointer is on stays under it while an answer makes lists above it longer or shorter: browsers hold only what is
// uppermost, and WebKit holds nothing.

const topOf = (part) => (part.getClientRects()[0] || { top: NaN }).top;

// Held by what the pointer is on, what has the focus, or the first of the rest that begins in sight and is still there afterwards.
// Who has not moved a page of one column sees the drawing, which stays at its top.
function inPlace(does) {
    const panel = by("controls"), own = getComputedStyle(panel).overflowY === "auto", scrolled = own ? panel : document.scrollingElement;
    if (!own && !scrolled.scrollTop) {
        does();
        return;
    }
    const above = Math.max(0, topOf(panel));
    const parts = [...[...panel.querySelectorAll(":hover")].reverse(), ...panel.querySelectorAll(":focus"),
        ...panel.querySelectorAll("summary, p, label, li, h3")];
    const seen = parts.map((part) => [part, topOf(part)]).filter(([, top]) => top >= above && top < innerHeight);
    does();
    const moved = seen.map(([part, top]) => topOf(part) - top).find((by) => !isNaN(by));
    if (moved) scrolled.scrollTop += moved;
}
