// Choosing a fault without loading the page again: the same address is asked for
// its part alone. Without this script the links do the same.

const place = document.getElementById("chosen");
let latest = 0;

async function choose(link) {
  const turn = ++latest;
  const address = link.href;
  try {
    const answer = await fetch(address, { headers: { Accept: "application/json" } });
    const got = await answer.json();
    if (turn !== latest) return;
    if (got.refused) throw new Error(got.refused);
    place.innerHTML = got.fault;
    history.replaceState(null, "", address);
    mark(got.line);
    document.getElementById("said").textContent = place.querySelector("h2").textContent + ". " + place.querySelector("h2 + p").textContent;
    if (!beside()) place.scrollIntoView();
    place.dispatchEvent(new CustomEvent("chosen", { bubbles: true }));
  } catch {
    location.href = address;
  }
}

// beside says whether the chosen fault stands beside the list and so in sight.
function beside() {
  return getComputedStyle(place).position === "sticky";
}

function mark(line) {
  for (const e of document.querySelectorAll(".fault-list .here")) e.classList.remove("here");
  for (const e of document.querySelectorAll(".fault-list [aria-current]")) e.removeAttribute("aria-current");
  const id = line.replace(/^fault-/, "");
  for (const a of document.querySelectorAll(".fault-list a[data-fault]")) {
    if (new URL(a.href).searchParams.get("fault") !== id) continue;
    a.setAttribute("aria-current", "true");
    a.closest(".fault-list > li").classList.add("here");
  }
}

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-fault]");
  if (!link || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  event.preventDefault();
  // The side that is seen from stays.
  const view = new URL(location.href).searchParams.get("view");
  const to = new URL(link.href);
  if (view && !link.closest(".views") && !to.searchParams.has("view")) {
    to.searchParams.set("view", view);
    link.href = to.href;
  }
  choose(link);
});
