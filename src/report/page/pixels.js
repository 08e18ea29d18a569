// A picture's pixels as the browser decodes them, its colours beside their alpha: a canvas alone gives back what is left of
// colours that were multiplied by it, and each browser has another way that gives the very bytes of the file.

// A pixel's colour and its PNG.
const CLEAR_PIXEL = ["200,100,50,3", "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR4nGM4kWLEDAAEuAFih/+f6QAAAABJRU5ErkJggg=="];
const OPAQUE_PIXEL = ["200,100,50,255", "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR42mM4kWIEAANWAV/W6lf+AAAAAElFTkSuQmCC"];
const AS_STORED = { colorSpaceConversion: "none", premultiplyAlpha: "none" };

async function frameRead(bitmap, as) {
    const frame = new VideoFrame(bitmap, { timestamp: 0 }), pixels = new Uint8Array(frame.allocationSize(as));
    try {
        await frame.copyTo(pixels, as);
        return { pixels, format: frame.format };
    } finally {
        frame.close();
    }
}

async function pixelsOfFrame(bitmap) {
    const { pixels, format } = await frameRead(bitmap, {});
    if (format === "BGRA") for (let k = 0; k < pixels.length; k += 4) [pixels[k], pixels[k + 2]] = [pixels[k + 2], pixels[k]];
    return /^(BGRA|RGBA)$/.test(format) ? pixels : null;
}

async function pixelsOfTexture({ width, height }, file) {
    const image = new Image(), gl = document.createElement("canvas").getContext("webgl"), pixels = new Uint8Array(4 * width * height);
    image.src = URL.createObjectURL(file);
    try {
        await image.decode();
        if (Math.max(width, height) > gl.getParameter(gl.MAX_TEXTURE_SIZE)) return null;
        gl.pixelStorei(gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, gl.NONE);
        gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
        gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, image);
        gl.bindFramebuffer(gl.FRAMEBUFFER, gl.createFramebuffer());
        gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, gl.getParameter(gl.TEXTURE_BINDING_2D), 0);
        gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, pixels);
        return gl.getError() ? null : pixels;
    } finally {
        URL.revokeObjectURL(image.src);
    }
}

async function pixelsOfCanvas(bitmap) {
    const { width, height } = bitmap, context = Object.assign(document.createElement("canvas"), { width, height }).getContext("2d", { willReadFrequently: true });
    context.drawImage(bitmap, 0, 0);
    return new Uint8Array(context.getImageData(0, 0, width, height).data.buffer);
}

// Of a picture that hides nothing: the canvas too has the bytes of the file, but copies them three times.
async function pixelsOpaque(bitmap) {
    return (await frameRead(bitmap, { format: "RGBA" })).pixels;
}

function fileOfPixel([, letters]) {
    return new Blob([bytesOf(letters)], { type: "image/png" });
}

// By one of the ways that gives a pixel that is known.
async function pixelsExact(bitmap, file, pixel, ways) {
    const sample = fileOfPixel(pixel), known = await createImageBitmap(sample, AS_STORED);
    for (const read of ways) {
        try {
            const found = String(await read(known, sample)) === pixel[0] && await read(bitmap, file);
            if (found) return found;
        } catch { /* not in this browser */ }
    }
    return pixelsOfCanvas(bitmap);
}

// A JPEG without a profile of its colours: each segment before the pixels that may hold one becomes another that nobody
// reads (ISO/IEC 10918-1, annex B; ICC.1, annex B.4).
async function jpegBare(file) {
    const APP2 = 0xe2, APP15 = 0xef, SCAN = 0xda, bytes = new Uint8Array(await file.arrayBuffer());
    for (let at = 2; bytes[at] === 0xff && bytes[at + 1] !== SCAN; at += 2 + (bytes[at + 2] << 8 | bytes[at + 3])) if (bytes[at + 1] === APP2) bytes[at + 1] = APP15;
    return new Blob([bytes], { type: "image/jpeg" });
}

// How to decode colours that have no profile as they are stored: to ask for that takes twice the time, and is needed where
// the browser turns such ones, too, into the screen's.
async function bareHow() {
    return String(await pixelsOfCanvas(await createImageBitmap(fileOfPixel(OPAQUE_PIXEL)))) === OPAQUE_PIXEL[0] ? {} : AS_STORED;
}

// A WebP's EXIF block, which the engine follows, and the file without it (WebP container specification, RIFF): browsers
// would turn the picture, and not all of them give exact pixels then.
async function webpUnturned(file) {
    const bytes = new Uint8Array(await file.arrayBuffer()), numbers = new DataView(bytes.buffer);
    let exif = new Uint8Array(0);
    for (let at = 12, size = 0; at + 9 < bytes.length; at += 8 + size + size % 2) {
        const name = String.fromCharCode(...bytes.subarray(at, at + 4));
        size = numbers.getUint32(at + 4, true);
        if (name === "VP8X") bytes[at + 8] &= ~8; // there is an EXIF block
        if (name !== "EXIF") continue;
        const named = String.fromCharCode(...bytes.subarray(at + 8, at + 12)) === "Exif";
        exif = bytes.slice(at + (named ? 14 : 8), at + 8 + size);
        bytes[at] = 0; // no name that is known
    }
    return { exif, still: new Blob([bytes], { type: "image/webp" }) };
}
