// Turning the picture by finger, mouse and arrow keys, and drawing it in the
// size that there is. The server draws; at most one request is under way, and
// the newest wish is asked for next.

const pixelsPerMillimetre = 4.8; // so that the drawing's labels are as large as small type

export function makeTurnable(picture, form) {
  const fields = form.elements;
  const sheet = picture.querySelector(".drawing");
  let wanted = false;
  let drawing = false;
  let drawings = 0; // that came with the page's other parts

  async function draw() {
    wanted = true;
    if (drawing) return;
    drawing = true;
    while (wanted) {
      wanted = false;
      const before = drawings;
      try {
        const answer = await fetch(form.action + "/picture", { method: "POST", body: new FormData(form) });
        const svg = await answer.text();
        // Where a button's answer came meanwhile, this drawing may be of the
        // text before it.
        if (before !== drawings) wanted = true;
        else if (answer.status === 200) sheet.innerHTML = svg;
      } catch {
        // The next press on a button says that the program does not answer.
      }
    }
    drawing = false;
    picture.dispatchEvent(new CustomEvent("drawn", { bubbles: true }));
  }

  function turn(azimuth, elevation) {
    let a = Number(fields.azimuth.value) + azimuth;
    a = ((((a + 180) % 360) + 360) % 360) - 180;
    fields.azimuth.value = String(Math.round(a * 10) / 10);
    fields.elevation.value = String(Math.round(Math.min(90, Math.max(-90, Number(fields.elevation.value) + elevation)) * 10) / 10);
    for (const b of document.querySelectorAll('[data-key^="view "]')) b.setAttribute("aria-pressed", "false");
    draw();
  }

  let last = null;
  picture.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || !event.isPrimary) return;
    last = event;
    picture.setPointerCapture(event.pointerId);
  });
  picture.addEventListener("pointermove", (event) => {
    if (!last || event.pointerId !== last.pointerId) return;
    const x = event.clientX - last.clientX;
    const y = event.clientY - last.clientY;
    if (x === 0 && y === 0) return;
    last = event;
    turn(-0.5 * x, 0.4 * y);
  });
  for (const end of ["pointerup", "pointercancel"]) picture.addEventListener(end, () => (last = null));

  const keys = { ArrowLeft: [15, 0], ArrowRight: [-15, 0], ArrowUp: [0, -10], ArrowDown: [0, 10] };
  picture.addEventListener("keydown", (event) => {
    const by = keys[event.key];
    if (!by || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    turn(...by);
  });

  // A drawing made for another width has labels too small or too large.
  function fit() {
    const width = picture.clientWidth;
    if (width === 0) return;
    const tall = window.matchMedia("(max-width: 47.99rem)").matches ? 0.4 : 0.62;
    const height = Math.min(width * 0.95, Math.max(200, window.innerHeight * tall));
    const mm = [width, height].map((pixels) => String(Math.round(pixels / pixelsPerMillimetre)));
    if (mm[0] === fields.width.value && mm[1] === fields.height.value) return;
    [fields.width.value, fields.height.value] = mm;
    draw();
  }
  let timer = 0;
  new ResizeObserver(() => {
    clearTimeout(timer);
    timer = setTimeout(fit, 100);
  }).observe(picture);
  fit();

  return {
    // A drawing came with the page's other parts, seen from where the page was
    // when it was asked for.
    drawn(seen) {
      drawings++;
      if (Number(fields.azimuth.value) !== seen.azimuth || Number(fields.elevation.value) !== seen.elevation) draw();
    },
  };
}
