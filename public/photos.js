// Makes of a camera's file what is kept: upright, smaller, and without the camera's data (place, device, time), which a
// picture that is drawn anew does not carry. Runs beside the page, so that no photo holds up a finger.
// Must never send anything anywhere, and answers every message exactly once.

onmessage = async ({ data }) => {
  try {
    const done = await develop(data);
    postMessage(done, [done.full, done.thumb]);
  } catch (error) {
    postMessage({ fault: `${error?.name}: ${error?.message}` });
  }
};

/** @param {{file: File, side: number, small: number}} wish longest sides of the picture and of its thumbnail, pixels */
async function develop({ file, side, small }) {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  const full = drawn(bitmap, side);
  bitmap.close();
  const [picture, thumb] = await Promise.all([bytes(full, 0.85), bytes(drawn(full, small), 0.8)]);
  // Some servers of a shop's own are no "secure context", and there the browser has no digest.
  const digest = globalThis.crypto?.subtle ? await crypto.subtle.digest("SHA-256", picture) : undefined;
  const sha256 = digest && Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
  return { width: full.width, height: full.height, full: picture, thumb, sha256 };
}

/** The picture on a canvas whose longest side is at most `side`; white where it can be seen through. */
function drawn(picture, side) {
  const share = Math.min(1, side / Math.max(picture.width, picture.height));
  const canvas = new OffscreenCanvas(Math.max(1, Math.round(picture.width * share)), Math.max(1, Math.round(picture.height * share)));
  const context = canvas.getContext("2d", { alpha: false });
  context.fillStyle = "#fff";
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.imageSmoothingQuality = "high";
  context.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

async function bytes(canvas, quality) {
  return (await canvas.convertToBlob({ type: "image/jpeg", quality })).arrayBuffer();
}
