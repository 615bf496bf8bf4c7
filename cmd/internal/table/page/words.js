// SPDX-License-Identifier: Apache-2.0

// Shows the words: in a rectangle on the mat, so that they stand upright and
// straight there, or, before anything is calibrated, on the screen.

import { current } from "./look.js";

const by = id => document.getElementById(id);
const panel = by("panel"), inside = by("inside"), entry = by("entry"), fields = [by("typed"), by("other")];

const inch = 96; // CSS px to an inch of the panel
// The smallest words have capitals 10 mm high on the mat; in most faces a
// capital takes .716 of the size of the font.
const least = 10 / 25.4 / .716;
const most = 2.4; // times that, where there is room

function paragraphs(to, texts) {
  to.replaceChildren(...(texts ?? []).map(text => {
    const p = document.createElement("p");
    p.textContent = text;
    return p;
  }));
}

// typed returns both fields; the second is empty where only one is asked for.
export function typed() { return fields; }

let asked = "";

function showField(view) {
  const f = view.field;
  entry.hidden = !f;
  if (!f) {
    asked = "";
    for (const input of fields) input.blur();
    return;
  }
  const [first, second] = entry.querySelectorAll("label");
  first.textContent = f.label;
  second.textContent = f.other?.label ?? "";
  second.hidden = fields[1].hidden = !f.other;
  by("wrong").textContent = f.wrong;
  // What she is typing stays when only something else changed.
  const now = JSON.stringify([view.stage, view.say, f]);
  if (now === asked) return;
  asked = now;
  fields[0].value = f.text;
  fields[1].value = f.other?.text ?? "";
  fields[f.at].focus({ preventScroll: true });
  fields[f.at].select();
}

function place(view) {
  const p = view.panel;
  panel.className = p ? "on-mat" : `loose ${view.side} turn${view.turn}`;
  if (!p) {
    panel.style.transform = panel.style.width = panel.style.height = "";
    return;
  }
  const k = 1 / devicePixelRatio, c = 1 / inch;
  const [a, b, u, d, e, v, g, h, i] = p.matrix;
  panel.style.width = `${p.wide * inch}px`;
  panel.style.height = `${p.high * inch}px`;
  const m = [a * k * c, d * k * c, 0, g * c, b * k * c, e * k * c, 0, h * c, 0, 0, 1, 0, u * k, v * k, 0, i];
  panel.style.transform = `matrix3d(${m.map(n => n.toFixed(12)).join(",")})`;
}

// The sizes that words may have, and the one that they have now: the next view's
// words mostly fit at the same one, and each that is tried costs a layout.
const sizes = 24;
let chosen = sizes;

// fit makes the words as large as they fit, up to the size that is wanted. On
// the mat none is smaller than can be read there: what has no room is left
// out, the last first.
function fit(view) {
  const unit = view.panel ? least * inch : Math.min(innerWidth, innerHeight) * .03;
  const high = Math.max(1, most * current().words);
  const fits = () => inside.scrollHeight <= panel.clientHeight && inside.scrollWidth <= panel.clientWidth;
  const size = n => 1 + (high - 1) * n / sizes;
  const fitsAt = n => {
    panel.style.setProperty("--size", `${unit * size(n)}px`);
    return fits();
  };
  // Words are at least higher by as much as they are larger.
  const mayGrow = () => chosen < sizes && inside.scrollHeight * size(chosen + 1) / size(chosen) <= panel.clientHeight + 1;
  if (fitsAt(chosen)) {
    while (mayGrow() && fitsAt(chosen + 1)) chosen++;
  } else {
    while (chosen > 0 && !fitsAt(chosen - 1)) chosen--;
    chosen = Math.max(0, chosen - 1);
  }
  if (fitsAt(chosen)) return;
  for (const from of [by("way"), by("more"), by("strips")]) {
    while (!fits() && from.lastChild) from.lastChild.remove();
  }
}

export function showWords(view) {
  paragraphs(by("notes"), view.notes);
  by("say").textContent = view.say;
  paragraphs(by("more"), view.more);
  by("number").textContent = view.number;
  by("strips").replaceChildren(...(view.strips ?? []).map(s => {
    const span = document.createElement("span"), i = document.createElement("i");
    i.style.backgroundColor = s.colour;
    span.append(i, s.name);
    return span;
  }));
  by("way").replaceChildren(...(view.way ?? []).map((text, i) => {
    const li = document.createElement("li");
    li.textContent = text;
    if (i === view.here) li.setAttribute("aria-current", "step");
    return li;
  }));
  by("face").textContent = `Fabric ${view.face}.`;
  by("face").hidden = !view.face;
  by("face").className = view.wrong ? "wrong-side" : "";
  showField(view);
  place(view);
  fit(view);
  showKeys(view);
}

const help = by("help"), light = by("light");
let press = () => {}, listed = "";

export function onPress(f) { press = f; }

function showKeys(view) {
  for (const sheet of [help, light, by("hint")]) sheet.dataset.turn = view.turn;
  const now = JSON.stringify(view.keys);
  if (now === listed) return fitHelp();
  listed = now;
  help.querySelector("ul").replaceChildren(...view.keys.map(k => {
    const li = document.createElement("li"), b = document.createElement(k.press ? "button" : "span"), kbd = document.createElement("kbd");
    kbd.textContent = k.key;
    b.append(kbd, k.does);
    if (k.press) {
      b.type = "button";
      b.addEventListener("click", () => {
        help.hidden = true;
        if (k.press !== "h") press(k.press);
      });
    }
    li.append(b);
    return li;
  }));
  fitHelp();
}

// fitHelp has the keys fit the screen at every size of words.
function fitHelp() {
  if (help.hidden) return;
  for (let size = 3 * current().words; size > .8; size *= .95) {
    help.style.fontSize = `${size}vmin`;
    if (help.scrollHeight <= help.clientHeight && help.scrollWidth <= help.clientWidth) return;
  }
}

export function helpShown() { return !help.hidden; }
export function toggleHelp() {
  help.hidden = !help.hidden;
  light.hidden = true;
  by("hint").hidden = true;
  fitHelp();
}

export function lightShown() { return !light.hidden; }
export function toggleLight() {
  light.hidden = !light.hidden;
  help.hidden = true;
  if (!light.hidden) by("width").focus();
  else document.activeElement.blur();
}

let until = 0;

// hint says for three seconds how to see the keys.
export function hint() {
  by("hint").hidden = false;
  clearTimeout(until);
  until = setTimeout(() => { by("hint").hidden = true; }, 3000);
}

export function showLost(text) {
  by("lost").textContent = text;
  by("lost").hidden = !text;
}
