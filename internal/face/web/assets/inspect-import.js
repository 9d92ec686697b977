// Takes a tablet's file in piece by piece: a file with photos is larger than
// what the server takes at once.
const form = document.getElementById("import");
const place = document.getElementById("import-told");
const most = 600 << 10;

function say(words) {
  const p = document.createElement("p");
  p.className = "notice";
  p.textContent = words;
  place.replaceChildren(p);
}

async function post(part) {
  const body = new FormData();
  body.set("file", new Blob([part], { type: "application/json" }), "unsent.json");
  const answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" } });
  const data = await answer.json();
  if (!answer.ok) throw new Error(data.refused);
  return data;
}

function pieces(list, wrap) {
  const out = [];
  let part = [];
  let size = 0;
  for (const x of list) {
    const text = JSON.stringify(x);
    if (part.length > 0 && (size + text.length > most || part.length >= 200)) {
      out.push(wrap(part.join(",")));
      part = [];
      size = 0;
    }
    part.push(text);
    size += text.length;
  }
  if (part.length > 0) out.push(wrap(part.join(",")));
  return out;
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const file = JSON.parse(await form.elements.file.files[0].text());
    if (file.format !== "hangtrue.unsent/1") throw new Error("This is no file of entries that a tablet wrote.");
    const head = `"format":${JSON.stringify(file.format)},"made":${JSON.stringify(file.made)}`;
    let taken = 0;
    let photos = 0;
    const refused = [];
    for (const p of pieces(file.photos, (x) => `{${head},"events":[],"photos":[${x}]}`)) photos += (await post(p)).photos;
    for (const p of pieces(file.events, (x) => `{${head},"photos":[],"events":[${x}]}`)) {
      const out = await post(p);
      taken += out.taken;
      refused.push(...out.refused_entries);
    }
    say(`Taken, or there already: entries ${taken}, photos ${photos}. Refused: ${refused.length}. ${refused.map((x) => x.words).join(" ")}`);
  } catch (error) {
    say("Not taken: " + (error.message || "the file cannot be read") + " What was taken before that stays; take the file in once more.");
  }
});
