// Putting new HTML in the place of old without exchanging what is alike, so
// that a button under a finger stays the button, and the focus stays on it.

export function morph(place, html) {
  const template = document.createElement("template");
  template.innerHTML = html;
  children(place, template.content);
}

function children(old, fresh) {
  const a = [...old.childNodes];
  const b = [...fresh.childNodes];
  if (a.length !== b.length || a.some((node, i) => node.nodeName !== b[i].nodeName)) {
    old.replaceChildren(...b);
    return;
  }
  a.forEach((node, i) => {
    if (node.nodeType !== Node.ELEMENT_NODE) {
      if (node.data !== b[i].data) node.data = b[i].data;
      return;
    }
    attributes(node, b[i]);
    children(node, b[i]);
  });
}

// Whether details are open is the reader's own.
function attributes(old, fresh) {
  for (const { name } of [...old.attributes]) if (!fresh.hasAttribute(name) && name !== "open") old.removeAttribute(name);
  for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
}
