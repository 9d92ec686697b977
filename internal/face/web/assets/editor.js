// The text with its line numbers.

const pause = 300; // ms without a key before the text is read

export function makeEditor(text, lines, changed) {
  let wrong = new Set();
  let timer = 0;

  function number() {
    const count = text.value.split("\n").length;
    while (lines.children.length > count) lines.lastChild.remove();
    while (lines.children.length < count) {
      const span = document.createElement("span");
      span.textContent = String(lines.children.length + 1);
      lines.append(span);
    }
    for (let i = 0; i < count; i++) lines.children[i].classList.toggle("wrong", wrong.has(i + 1));
    follow();
  }

  // The numbers lie behind the text and go with it.
  function follow() {
    lines.style.transform = `translateY(${-text.scrollTop}px)`;
  }

  text.addEventListener("scroll", follow, { passive: true });
  text.addEventListener("input", () => {
    number();
    clearTimeout(timer);
    timer = setTimeout(changed, pause);
  });

  return {
    mark(set) {
      wrong = set;
      number();
    },
    show(line) {
      const start = text.value.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
      const end = text.value.indexOf("\n", start);
      text.focus();
      text.setSelectionRange(start, end < 0 ? text.value.length : end);
      const height = parseFloat(getComputedStyle(text).lineHeight);
      text.scrollTop = Math.max(0, (line - 4) * height);
    },
  };
}
