// SPDX-License-Identifier: Apache-2.0

// Shows the words: in a rectangle on the mat, so that they stand upright and
// straight there, or, before anything is calibrated, on the screen.

import { current } from "./look.js";

const by = id => document.getElementById(id);
const panel = by("panel"), inside = by("inside"), entry = by("entry"), typed = by("typed");

const inch = 96; // CSS px to an inch of the panel
const capital = .42 / .716; // the usual size of the font on the mat, in inches

function paragraphs(to, texts) {
  to.replaceChildren(...(texts ?? []).map(text => {
    const p = document.createElement("p");
    p.textContent = text;
    return p;
  }));
}

let asked = "";

function showField(view) {
  entry.hidden = !view.field;
  if (!view.field) {
    asked = "";
    typed.blur();
    return;
  }
  entry.querySelector("label").textContent = view.field.label;
  by("wrong").textContent = view.field.wrong;
  // What she is typing stays when only something else changed.
  const now = view.stage + view.say;
  if (now !== asked) {
    asked = now;
    typed.value = view.field.text;
    typed.select();
  }
  typed.focus({ preventScroll: true });
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

// fit makes the words as large as they are wanted, or as large as they fit.
function fit(view) {
  const unit = view.panel ? capital * inch : Math.min(innerWidth, innerHeight) * .04;
  for (let size = current().words; size > .2; size *= .93) {
    panel.style.setProperty("--size", `${unit * size}px`);
    if (inside.scrollHeight <= panel.clientHeight && inside.scrollWidth <= panel.clientWidth) return;
  }
}

export function showWords(view) {
  paragraphs(by("notes"), view.notes);
  by("say").textContent = view.say;
  paragraphs(by("more"), view.more);
  by("strips").replaceChildren(...(view.strips ?? []).map(s => {
    const span = document.createElement("span"), i = document.createElement("i");
    i.style.backgroundColor = s.colour;
    span.append(i, s.name);
    return span;
  }));
  by("face").textContent = `Face: ${view.face}.`;
  showField(view);
  place(view);
  fit(view);
  showKeys(view);
}

const help = by("help");

function showKeys(view) {
  help.className = `turn${view.turn}`;
  help.querySelector("dl").replaceChildren(...view.keys.flatMap(k => {
    const dt = document.createElement("dt"), dd = document.createElement("dd");
    dt.textContent = k.key;
    dd.textContent = k.does;
    return [dt, dd];
  }));
}

export function helpShown() { return !help.hidden; }
export function toggleHelp() { help.hidden = !help.hidden; }

export function typedText() { return typed.value; }

export function showLost(text) {
  by("lost").textContent = text;
  by("lost").hidden = !text;
}
