// Pieces of the walk's page: elements, photos, the number of links.

// h makes an element. Text is always text and never markup.
export function h(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith("on")) e.addEventListener(key.slice(2), value);
    else if (key === "value" || key === "checked" || key === "disabled") e[key] = value;
    else e.setAttribute(key, value === true ? "" : value);
  }
  fill(e, children);
  return e;
}

// fill puts pieces into an element in the place of what it has. They may come in
// lists of lists, and what is not there is left out.
export function fill(e, ...children) {
  e.replaceChildren(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false && child !== ""));
}

export function button(words, press, attributes = {}) {
  return h("button", { type: "button", onclick: press, ...attributes }, words);
}

export function picture(address, words) {
  return h("img", { src: address, alt: words, class: "inspect-picture", width: 320, height: 320 });
}

// shrink makes of what the camera gave a picture of a sane size, without what
// the camera wrote beside it.
export async function shrink(file) {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  let side = 1600;
  for (;;) {
    const share = Math.min(1, side / Math.max(bitmap.width, bitmap.height));
    const canvas = h("canvas", { width: Math.max(1, Math.round(bitmap.width * share)), height: Math.max(1, Math.round(bitmap.height * share)) });
    canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.8));
    if (!blob) throw new Error("the photo cannot be read");
    if (blob.size <= 500 << 10 || side < 400) {
      const sum = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
      return { blob, hash: Array.from(new Uint8Array(sum), (b) => b.toString(16).padStart(2, "0")).join("") };
    }
    side *= 0.75;
  }
}

// thumbnail draws a kept photo.
export async function thumbnail(blob) {
  const bitmap = await createImageBitmap(blob);
  const share = 120 / Math.max(bitmap.width, bitmap.height);
  const canvas = h("canvas", { width: Math.round(bitmap.width * share), height: Math.round(bitmap.height * share), class: "inspect-thumbnail", role: "img", "aria-label": "Photo taken" });
  canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  return canvas;
}

// links is the field for the link of a chain that is in the hook, with buttons for
// one and for ten more or fewer, for whoever wears gloves. It begins empty: a number
// that stands there is a number suggested.
export function links(chain, enter) {
  const most = chain > 1 ? chain - 1 : 1000;
  const field = h("input", { id: "inspect-count", type: "number", inputmode: "numeric", min: 1, max: most, step: 1, autocomplete: "off", required: true, "aria-describedby": "inspect-count-range" });
  const step = (by, words) =>
    button((by < 0 ? "−" : "+") + (Math.abs(by) > 1 ? Math.abs(by) : ""), () => {
      const n = parseInt(field.value, 10);
      if (Number.isNaN(n) && by < 0) return;
      field.value = Math.min(most, Math.max(1, (n || 0) + by));
    }, { "aria-label": words, "data-by": by });
  return h(
    "form",
    {
      class: "inspect-count",
      onsubmit: (event) => {
        event.preventDefault();
        const n = parseInt(field.value, 10);
        if (Number.isInteger(n) && n >= 1 && n <= most) enter(n);
      },
    },
    h("label", { for: "inspect-count" }, "Link in the hook, counted from the free end"),
    h("div", { class: "inspect-steps" }, step(-10, "Ten fewer"), step(-1, "One fewer"), field, step(1, "One more"), step(10, "Ten more")),
    h("button", { class: "main" }, "Enter the count"),
    h("small", { id: "inspect-count-range" }, chain > 1 ? `From 1 to ${most}; the chain has ${chain} links.` : "From 1."),
  );
}

export function since(milliseconds) {
  const minutes = Math.round(Math.abs(milliseconds) / 60000);
  if (minutes < 120) return minutes === 1 ? "1 minute" : minutes + " minutes";
  const hours = Math.round(minutes / 60);
  return hours < 48 ? hours + " hours" : Math.round(hours / 24) + " days";
}
