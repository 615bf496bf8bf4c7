// SPDX-License-Identifier: Apache-2.0

// The page for the hand: what to do in large words, and buttons for what the
// keyboard does. It shows what the page under the projector shows.

import { tell, listen, onView, onLost, show as hear } from "./server.js";

const by = id => document.getElementById(id);
const fields = [by("typed"), by("other")];

const press = name => tell({ do: "key", text: name });

function make(text, does, label) {
  const b = document.createElement("button");
  b.type = "button";
  b.textContent = text;
  if (label) b.setAttribute("aria-label", label);
  b.addEventListener("click", does);
  return b;
}

const button = (text, name) => make(text, () => press(name));

function paragraphs(to, texts) {
  to.replaceChildren(...(texts ?? []).map(text => {
    const p = document.createElement("p");
    p.textContent = text;
    return p;
  }));
}

// What is done now and then, with the words on its button.
const named = { a: "All cuts or one", x: "Spoiled", next: "Next strip set", previous: "Strip set before", home: "Lay again", p: "Piece", q: "Quilt", m: "Move crosses", b: "After a bump", s: "Check square", n: "Calibrate", o: "Other calibrations", r: "Turn words", u: "Use it all the same", t: "Another photo" };

// A photo of the crosses: what is offered, and what was found in the last one.
function showPhoto(view) {
  by("photo").hidden = !view.photo && !view.photo_shown;
  by("offer").hidden = view.photo !== "offer";
  by("take").hidden = view.photo !== "take";
  const seen = by("seen"), was = seen.hidden;
  seen.hidden = !view.photo_shown;
  if (view.photo_shown && was) seen.href = seen.firstElementChild.src = `found.png?${view.serial}`;
}

const most = 20 << 20; // bytes of a photo

async function send(file) {
  const say = text => { by("sending").textContent = text; };
  if (file.size > most) return say("This photo has more than 20 MB: take it in the camera's usual size.");
  say("The photo is sent and looked at. This takes a few seconds.");
  by("picture").disabled = true;
  try {
    const answer = await fetch(`photo?grid=${encodeURIComponent(by("lines").value)}&wide=${encodeURIComponent(by("wide").value)}`, {
      method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: file, signal: AbortSignal.timeout(120000),
    });
    say(answer.ok ? "" : answer.status === 400 ? await answer.text() : `It did not get through (${answer.status}): take it again.`);
    if (answer.ok) hear(await answer.json());
  } catch {
    say("It did not get through: take it again.");
  }
  by("picture").disabled = false;
  by("picture").value = "";
}
by("offer").addEventListener("click", () => press("photo"));
by("picture").addEventListener("change", () => {
  if (by("picture").files.length) send(by("picture").files[0]);
});
by("seen").hidden = true;

let asked = "", unit = "";
let into = fields[0]; // the field that the pad types into
for (const input of fields) input.addEventListener("focusin", () => { into = input; });

function show(view) {
  if (!unit && view.unit === "cm") by("lines").value = "1cm";
  unit = view.unit;
  document.body.dataset.stage = view.stage;
  document.body.dataset.done = view.done;
  by("say").textContent = view.say;
  paragraphs(by("notes"), view.notes);
  paragraphs(by("more"), view.more);
  by("strips").replaceChildren(...(view.strips ?? []).map(s => {
    const span = document.createElement("span"), i = document.createElement("i");
    i.style.backgroundColor = s.colour;
    span.append(i, s.name);
    return span;
  }));
  by("face").textContent = `Fabric ${view.face}.`;
  by("face").hidden = !view.face;
  by("face").className = view.wrong ? "wrong-side" : "";
  by("move").hidden = !view.cross;
  by("on").textContent = view.cross ? "It lies right" : !view.field ? "On" : view.field.other ? "There it lies" : "That is it";
  by("choices").replaceChildren(...view.keys.filter(k => /^[0-9]$/.test(k.press)).map(k => button(`${k.key}  ${k.does}`, k.press)));
  by("others").replaceChildren(...(view.field ? [] : view.keys.filter(k => named[k.press]).map(k => button(named[k.press], k.press))));
  showPhoto(view);
  showField(view.field, view.say);
  document.body.dataset.serial = view.serial;
}

function showField(f, say) {
  by("entry").hidden = !f;
  const now = JSON.stringify([say, f]);
  if (!f || now === asked) {
    asked = now;
    return;
  }
  asked = now;
  const labels = by("entry").querySelectorAll("label");
  labels[0].textContent = f.label;
  labels[1].textContent = f.other?.label ?? "";
  labels[1].parentElement.hidden = !f.other;
  by("wrong").textContent = f.wrong;
  by("pad").hidden = f.plain;
  fields[0].value = f.text;
  fields[1].value = f.other?.text ?? "";
  // The phone's own keyboard would cover the pad.
  for (const input of fields) input.inputMode = f.plain ? "text" : "none";
  into = fields[f.at];
  into.focus({ preventScroll: true });
  fields[f.at].select();
  buildPad();
}

// add types into the field, in place of what is selected.
function add(text) {
  into.setRangeText(text, into.selectionStart, into.selectionEnd, "end");
  into.focus({ preventScroll: true });
}

// plus adds a fraction of an inch to what stands in the field.
function plus(part, of) {
  const m = /^\s*(\d*)(?:\s*(?:^|\s)(\d+)\/(\d+))?\s*$/.exec(into.selectionEnd - into.selectionStart === into.value.length ? "" : into.value);
  if (!m || m[3] && 32 % m[3]) return;
  let n = 32 * (m[1] || 0) + (m[3] ? m[2] * 32 / m[3] : 0) + part * 32 / of;
  const whole = Math.floor(n / 32);
  let [above, below] = [n % 32, 32];
  while (above && above % 2 === 0) [above, below] = [above / 2, below / 2];
  into.value = [whole || !above ? whole : "", above ? `${above}/${below}` : ""].filter(v => v !== "").join(" ");
  into.focus({ preventScroll: true });
  into.setSelectionRange(into.value.length, into.value.length);
}

let built = "";

function buildPad() {
  if (built === unit) return;
  built = unit;
  const digit = d => make(d, () => add(d));
  const rest = [
    make(unit === "cm" ? "." : "/", () => add(unit === "cm" ? "." : "/"), unit === "cm" ? "point" : "over"),
    digit("0"),
    make("⌫", () => {
      if (into.selectionStart === into.selectionEnd && into.selectionStart > 0) into.setSelectionRange(into.selectionStart - 1, into.selectionEnd);
      add("");
    }, "delete"),
  ];
  const parts = unit === "cm" ? [] : [[1, 8], [1, 4], [1, 2], [1, 16], [1, 32]].map(([a, b]) => make(`+${a}/${b}`, () => plus(a, b), `${a}/${b} more`));
  const next = make("⇥", () => {
    into = fields[into === fields[0] && !fields[1].parentElement.hidden ? 1 : 0];
    into.focus();
    into.select();
  }, "the other field");
  const digits = "123456789".split("").map(digit);
  const rows = [...digits.slice(0, 3), parts[0], ...digits.slice(3, 6), parts[1], ...digits.slice(6), parts[2], ...rest, next, parts[3], parts[4]];
  by("pad").classList.toggle("three", unit === "cm");
  by("pad").replaceChildren(...rows.filter(Boolean));
}

function on() {
  if (by("entry").hidden) press("on");
  else tell({ do: "type", text: fields[0].value, other: by("other").parentElement.hidden ? "" : fields[1].value });
}
by("entry").addEventListener("submit", e => {
  e.preventDefault();
  on();
});
by("on").addEventListener("click", on);
// The field keeps the focus while the pad is used.
by("pad").addEventListener("mousedown", e => e.preventDefault());
by("back").addEventListener("click", () => press("back"));

const steps = [1, 10, .25];
let step = 0;
by("step").addEventListener("click", () => {
  step = (step + 1) % steps.length;
  by("step").textContent = `${steps[step] === .25 ? "¼" : steps[step]} px`;
});
for (const b of document.querySelectorAll("[data-way]")) {
  const [right, up] = b.dataset.way.split(" ").map(Number);
  b.addEventListener("click", () => tell({ do: "nudge", right: right * steps[step], up: up * steps[step] }));
}

onView(show);
onLost((n, status) => {
  by("lost").hidden = !n && !status;
  by("lost").textContent = status ? `This page and lozenge don't understand each other (${status}): load it again.`
    : n === 1 ? "No connection: 1 press waits and is sent again." : `No connection: ${n} presses wait and are sent again.`;
});
listen("hand");
