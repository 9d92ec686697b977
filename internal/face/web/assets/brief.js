// The load brief: the form warns before what was typed is left behind, and the
// first entry that is wrong is brought into sight.

document.documentElement.classList.add("scripted");

const form = document.querySelector(".brief-form");
if (form) {
  const before = JSON.stringify([...new FormData(form)]);
  // What came back because something in it is wrong is not saved either.
  let leaving = false;
  const changed = () => document.querySelector(".brief .notice") !== null || JSON.stringify([...new FormData(form)]) !== before;
  form.addEventListener("submit", () => { leaving = true; });
  addEventListener("beforeunload", (event) => {
    if (!leaving && changed()) event.preventDefault();
  });
  addEventListener("pageshow", () => { leaving = false; });
  const wrong = form.querySelector("[aria-invalid]");
  if (wrong) {
    wrong.focus();
    wrong.scrollIntoView({ block: "center" });
  }
}
