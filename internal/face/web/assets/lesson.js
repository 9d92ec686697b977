// A lesson with a script: arrow keys go on and back, up and down from question to
// question, and a screen takes the place of another without loading the page anew,
// so that the whole screen stays the lesson's. Without it links and buttons do the
// same.

document.documentElement.classList.add("scripted");

const main = document.getElementById("content");
let busy = false;
let here = location.pathname + location.search; // the screen that is shown

// show puts a screen in the place of this one.
async function show(address, keep) {
  if (busy) return;
  busy = true;
  try {
    const answer = await fetch(address);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = page.getElementById("content");
    if (!answer.ok || !next?.querySelector(".lesson-screen")) {
      location.href = address;
      return;
    }
    main.replaceChildren(...next.childNodes);
    document.title = page.title;
    if (keep) history.pushState(null, "", address);
    here = location.pathname + location.search;
    settle();
    window.scrollTo(0, 0);
    main.querySelector("[data-heading]")?.focus({ preventScroll: true });
  } catch {
    location.href = address; // the browser says what is wrong
  } finally {
    busy = false;
  }
}

// settle shows the buttons that only work with a script.
function settle() {
  const full = main.querySelector("[data-full]");
  if (full && document.documentElement.requestFullscreen) full.hidden = false;
}

function within(link) {
  return link && link.href && new URL(link.href).pathname === location.pathname && new URL(link.href).searchParams.has("way") && !new URL(link.href).hash;
}

main.addEventListener("click", (event) => {
  if (event.target.closest("[data-full]")) {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen();
    return;
  }
  const link = event.target.closest("a");
  if (!within(link) || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  event.preventDefault();
  show(link.href, true);
});

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.shiftKey || event.target.matches?.("input, textarea, select")) return;
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    if (step(event.key === "ArrowDown")) event.preventDefault();
    return;
  }
  const which = { ArrowRight: "[data-on]", ArrowLeft: "[data-back]" }[event.key];
  const button = which && main.querySelector(which);
  if (!button) return;
  event.preventDefault();
  button.click();
});

// step brings the next question, or the one before, to the top of the window; at
// the ends the key scrolls as ever.
function step(down) {
  const near = 24; // px; a question this near to the top is the one that is seen
  const tops = [...main.querySelectorAll("[data-question]")].map((x) => [x, x.getBoundingClientRect().top]);
  const next = down ? tops.find(([, top]) => top > near + 1) : tops.findLast(([, top]) => top < -near);
  if (!next) return false;
  next[0].scrollIntoView();
  return true;
}

window.addEventListener("popstate", () => {
  // A step to a question of the same screen is no other screen.
  if (here !== location.pathname + location.search) show(location.href, false);
});
settle();
