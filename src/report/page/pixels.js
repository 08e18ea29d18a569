// A picture's pixels as the browser decodes them, its colours beside their alpha: a canvas alone gives back what is left of
// colours that were multiplied by it, and each browser has another way that gives the very bytes of the file.

const CLEAR_PIXEL = "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR4nGM4kWLEDAAEuAFih/+f6QAAAABJRU5ErkJggg=="; // a PNG of (200, 100, 50, 3)

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
    const known = Uint8ClampedArray.of(200, 100, 50, 255), read = async (from) => (await frameRead(from, { format: "RGBA" })).pixels;
    try {
        if (String(await read(await createImageBitmap(new ImageData(known, 1)))) === String(known)) return await read(bitmap);
    } catch { /* not in this browser */ }
    return pixelsOfCanvas(bitmap);
}

function bitmapOf(file) {
    return createImageBitmap(file, { colorSpaceConversion: "none", premultiplyAlpha: "none" });
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

// By a way that gives a pixel that is known.
async function pixelsExact(bitmap, file) {
    const clear = new Blob([bytesOf(CLEAR_PIXEL)], { type: "image/png" }), known = await bitmapOf(clear);
    for (const read of [pixelsOfFrame, pixelsOfTexture]) {
        try {
            const found = String(await read(known, clear)) === "200,100,50,3" && await read(bitmap, file);
            if (found) return found;
        } catch { /* not in this browser */ }
    }
    return pixelsOfCanvas(bitmap);
}
