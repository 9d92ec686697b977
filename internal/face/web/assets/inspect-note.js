// The note and the photos of a question before its answer is given.
import * as store from "./inspect-store.js";
import { h, shrink, thumbnail } from "./inspect-parts.js";

// notes are those of one walk. person tells whose it is, and act runs what a press
// asks for.
export function notes(id, person, act) {
  const draftKey = (key) => "hangtrue-walk " + id + " " + key;
  const draft = (key) => {
    try {
      return JSON.parse(localStorage.getItem(draftKey(key))) ?? { text: "", photos: [] };
    } catch {
      return { text: "", photos: [] };
    }
  };
  const keepDraft = (key, value) => {
    try {
      if (value) localStorage.setItem(draftKey(key), JSON.stringify(value));
      else localStorage.removeItem(draftKey(key));
    } catch {
      // A draft is a convenience.
    }
  };

  // more is the place for a note and photos.
  function more(key, words) {
    const was = draft(key);
    const shots = h("div", { class: "inspect-photos" });
    const put = (hash) =>
      store.photo(id, hash).then(async (blob) => {
        if (blob) shots.append(await thumbnail(blob));
      });
    was.photos.forEach(put);
    const text = h("textarea", {
      id: "inspect-text",
      rows: 3,
      maxlength: 3500,
      oninput: (event) => {
        const now = draft(key);
        keepDraft(key, { ...now, text: event.target.value });
      },
    });
    text.value = was.text;
    const camera = h("input", {
      id: "inspect-camera",
      type: "file",
      accept: "image/*",
      capture: "environment",
      onchange: () =>
        act(async () => {
          for (const file of camera.files) {
            const photo = await shrink(file);
            await store.keepPhoto(id, person(), photo);
            const now = draft(key);
            if (now.photos.length < 20 && !now.photos.includes(photo.hash)) {
              keepDraft(key, { ...now, photos: [...now.photos, photo.hash] });
              put(photo.hash);
            }
          }
          camera.value = "";
        }),
    });
    return h("div", { class: "inspect-more" }, h("p", {}, h("label", { for: "inspect-text" }, words), text), h("p", {}, h("label", { for: "inspect-camera" }, "Photo"), camera), shots);
  }

  // given takes what was typed and photographed for a question.
  function given(key) {
    const d = draft(key);
    const out = {};
    // The laptop takes so much, and an entry that it does not take cannot be altered.
    const over = new TextEncoder().encode(d.text.trim()).length - 3900;
    if (over > 0) throw new Error(`the note is about ${over} letters too long.`);
    if (d.text.trim()) out.text = d.text.trim();
    if (d.photos.length) out.photos = d.photos;
    return out;
  }
  return { more, given, forget: (key) => keepDraft(key, null) };
}
