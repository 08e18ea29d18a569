// Lengths, read and shown in the reader's unit. Inches come with the nearest 64th, as the engine tells them.
const MM_PER_INCH = 25.4;

// A length as the report tells it; with `bit` as it tells a bit.
function told(mm, bit = false) {
    return front.length(mm, bit, inch);
}

// The nearest 64th of an inch, "" where that is none, and what it lacks or has too much, "" where it is the length.
function fraction(mm) {
    const [, words = "", sign = "", off = ""] = /\(([\d /]+?)(?: ([+-]) ([\d.]+))?\)$/.exec(front.length(mm, false, true)) || [];
    return [words, off && `${sign === "-" ? "\u2212" : "+"} ${off}`];
}

// As the engine takes it: what has a unit as it is, else in the reader's; but a fraction of millimetres is hardly meant,
// and the engine says so.
function withUnit(words) {
    const trimmed = words.trim().replace(",", ".");
    return /[a-z"]$/.test(trimmed) || (!inch && trimmed.includes("/")) ? trimmed : `${trimmed}${inch ? "in" : "mm"}`;
}

// A length for the command, such that it reads back as the very length that is shown.
function lengthWords(mm, places = 5) {
    if (!inch) return `${short(mm, places)}mm`;
    const [words] = fraction(mm), [above, below = 1] = words.split("/");
    if (words && !/ /.test(words) && Number(above) < Number(below) && Math.abs(above / below * MM_PER_INCH - mm) < 4e-7) return `${words}in`;
    return Number(mm.toFixed(2)) === mm ? `${mm}mm` : `${short(mm / MM_PER_INCH, places)}in`;
}

// A number of three figures, or whole: as a maker types a length that came out.
function figures(number) {
    return short(number, Math.max(0, 2 - Math.floor(Math.log10(Math.max(number, 1e-9)))));
}

// What a field holds, and the unit that stands beside it; `exact`: the length is one that was given.
function fieldWords(mm, exact = true) {
    const shown = (number) => exact ? short(number, 4) : figures(number);
    if (!inch) return [shown(mm), "mm"];
    const [words, off] = fraction(mm), inches = shown(mm / MM_PER_INCH);
    if (words && !off) return [words, "in"];
    return [inches, exact && words ? `in (${words} ${off})` : "in"];
}
