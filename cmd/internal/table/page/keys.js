// SPDX-License-Identifier: Apache-2.0

// Hears the keyboard: everything is done with it.

import { tell } from "./server.js";
import { changed, useLook } from "./look.js";
import { nudge, crossAt } from "./draw.js";
import { helpShown, toggleHelp, typedText, showWords } from "./words.js";

const arrows = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const named = ["Enter", "Backspace", "Home", "End", "PageUp", "PageDown", "Tab", ...Object.keys(arrows)];

async function fullScreen() {
  try {
    if (document.fullscreenElement) await document.exitFullscreen();
    else await document.documentElement.requestFullscreen({ navigationUI: "hide" });
  } catch {
    // F11 does it, too
  }
}

export function listen(view, redraw) {
  addEventListener("keydown", e => {
    const v = view();
    if (!v || e.isComposing) return;
    if (hear(v, e, redraw)) e.preventDefault();
  });
  document.getElementById("entry").addEventListener("submit", e => e.preventDefault());
}

// hear returns whether the key was for the page.
function hear(v, e, redraw) {
  const key = e.key;
  if (helpShown()) {
    if (key === "?" || key === "Escape" || key === "Enter" || key === " ") toggleHelp();
    return true;
  }
  if (key === "?") {
    toggleHelp();
    return true;
  }
  if (v.cross && arrows[key] && !e.metaKey) {
    const step = e.altKey || e.ctrlKey ? .25 : e.shiftKey ? 10 : 1;
    nudge(arrows[key][0] * step, arrows[key][1] * step);
    redraw();
    return true;
  }
  if (e.ctrlKey || e.altKey || e.metaKey) return false;
  if (v.field) return type(e);
  if (v.cross && (key === "Enter" || key === " ")) {
    if (!e.repeat) tell({ do: "place", u: crossAt()[0], v: crossAt()[1] });
    return true;
  }
  if (key === "f" || key === "F") {
    fullScreen();
    return true;
  }
  const look = changed(key, v.stage);
  if (look) {
    v.look = look;
    useLook(look);
    redraw();
    showWords(v);
    tell({ do: "look", look });
    return true;
  }
  if (key.length !== 1 && !named.includes(key)) return false;
  // A key that is held down would run through the cuts.
  if (!e.repeat) tell({ do: "key", text: key });
  return true;
}

// type hears keys while there is a field.
function type(e) {
  if (e.key === "Enter") {
    if (!e.repeat) tell({ do: "type", text: typedText() });
    return true;
  }
  if (e.key === "ArrowUp" || (e.key === "Backspace" && typedText() === "")) {
    if (!e.repeat) tell({ do: "key", text: "Backspace" });
    return true;
  }
  return e.key === "Tab";
}
