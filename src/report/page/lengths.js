// Lengths, read and shown in the reader's unit. Inches come with the nearest 64th, as the command
// shows them (lengths.c).
const MM_PER_INCH = 25.4, PARTS = 64;

// As the engine takes it: what has a unit as it is, else in the reader's; but a fraction of millimetres is hardly meant,
// and the engine says so.
function withUnit(words) {
    const trimmed = words.trim().replace(",", ".");
    return /[a-z"]$/.test(trimmed) || (!inch && trimmed.includes("/")) ? trimmed : `${trimmed}${inch ? "in" : "mm"}`;
}

// So many 64ths of an inch in lowest terms: "5/64", "1 1/2", "3".
function fraction(parts) {
    const whole = Math.floor(parts / PARTS);
    let rest = parts % PARTS, of = PARTS;
    while (rest && rest % 2 === 0) [rest, of] = [rest / 2, of / 2];
    return [whole || !rest ? whole : "", rest ? `${rest}/${of}` : ""].filter((word) => word !== "").join(" ");
}

// A length for the command, such that it reads back as the very length that is shown.
function lengthWords(mm, places = 5) {
    const parts = mm / MM_PER_INCH * PARTS;
    if (!inch) return `${short(mm, places)}mm`;
    if (parts < PARTS && Math.abs(parts - Math.round(parts)) < 1e-6) return `${fraction(Math.round(parts))}in`;
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
    const inches = mm / MM_PER_INCH, parts = Math.round(inches * PARTS);
    const off = inches - parts / PARTS;
    if (Math.abs(off) < 5e-5) return [fraction(parts), "in"];
    if (!exact) return [shown(inches), "in"];
    return [shown(inches), parts ? `in (${fraction(parts)} ${off > 0 ? "+" : "\u2212"} ${Math.abs(off).toFixed(4)})` : "in"];
}

// A length as the report tells it; with `bit` as it tells a bit.
function told(mm, bit = false) {
    if (!inch) return bit ? `${short(mm, 4)} mm` : `${Number(short(mm, 2)).toFixed(2)} mm`;
    const inches = mm / MM_PER_INCH, parts = Math.round(inches * PARTS);
    const off = inches - parts / PARTS;
    const more = bit || Math.abs(off) < 5e-5 ? "" : ` ${off > 0 ? "+" : "-"} ${Math.abs(off).toFixed(4)}`;
    return `${inches.toFixed(4)} in${parts ? ` (${fraction(parts)}${more})` : ""}`;
}
