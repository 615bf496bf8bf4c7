// SPDX-License-Identifier: Apache-2.0

// Hears keys, clicks and taps. What a key means the server knows; here stands
// only what belongs to the window and to what is typed.

import { tell } from "./server.js";
import { sized, useLook } from "./look.js";
import { helpShown, toggleHelp, lightShown, toggleLight, typed, showWords, hint } from "./words.js";

const arrows = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const steps = ["Enter", " ", "Backspace", "PageUp", "PageDown", ...Object.keys(arrows)];
const passing = /^(Shift|Control|Alt|AltGraph|Meta|CapsLock|NumLock|ScrollLock|Fn|Dead|Process|Unidentified|Tab|F\d+|Audio.*|Media.*|Brightness.*|Escape|ContextMenu|Insert|Pause|PrintScreen)$/;

let view = () => null, redraw = () => {};

async function fullScreen() {
  try {
    if (document.fullscreenElement) await document.exitFullscreen();
    else await document.documentElement.requestFullscreen({ navigationUI: "hide" });
  } catch {
    // F11 does it, too
  }
}

// nameOf returns the name of a key: the character, where it is one that can be
// meant; else, on a keyboard with other letters, what stands at that place on
// a Latin one.
function nameOf(e) {
  if (e.key.length > 1 || /^[a-z0-9?+ =_-]$/i.test(e.key)) return e.key;
  const at = /^(?:Key|Digit|Numpad)([A-Z0-9])$/.exec(e.code);
  if (at) return at[1].toLowerCase();
  return { Slash: e.shiftKey ? "?" : "", Minus: "-", Equal: "+", NumpadAdd: "+", NumpadSubtract: "-" }[e.code] || e.key;
}

export function changeLook(look) {
  view().look = look;
  useLook(look);
  redraw();
  showWords(view());
  tell({ do: "look", look });
}

// press does what a key or its button is for; false when that is nothing.
export function press(name) {
  const v = view();
  switch (name.toLowerCase()) {
    case "?": case "h": toggleHelp(); return true;
    case "l": toggleLight(); return true;
    case "f": fullScreen(); return true;
    case "+": case "=": changeLook(sized(1)); return true;
    case "-": case "_": changeLook(sized(-1)); return true;
  }
  if (!steps.includes(name.replace("Shift+", "")) && !v.keys.some(k => k.press === name.toLowerCase())) return false;
  tell({ do: "key", text: name });
  return true;
}

export function listenToKeys(viewOf, draw) {
  [view, redraw] = [viewOf, draw];
  let heard = false; // the key that is down was for the page, not for a field
  let tabbed = false; // the control that has the focus was reached by Tab
  addEventListener("keydown", e => {
    if (e.key === "Tab") tabbed = true;
    heard = false;
    if (!view() || e.isComposing) return;
    const control = e.target.closest?.("button, select, input[type=range], input[type=checkbox]");
    if (control && (tabbed || lightShown()) && (e.key === " " || e.key === "Enter" || lightShown() && arrows[e.key])) return;
    if (heard = hear(e)) e.preventDefault();
  });
  // The answer may bring a field before the letter of that key has arrived.
  addEventListener("beforeinput", e => { if (heard) e.preventDefault(); });
  addEventListener("keyup", () => { heard = false; });
  addEventListener("pointerdown", () => { tabbed = false; });
  addEventListener("click", e => {
    const v = view();
    if (!v || e.target.closest?.("button, select, input, label, #help, #light")) return;
    if (helpShown() || lightShown() || v.field || v.cross) return;
    press(" "); // which is On wherever something is to be done
  });
  document.getElementById("entry").addEventListener("submit", e => e.preventDefault());
  // Some browsers take the keyboard away when full screen ends.
  addEventListener("fullscreenchange", () => focus());
}

// hear returns whether the key was for the page.
function hear(e) {
  const v = view(), name = nameOf(e);
  if (name === "F1") {
    toggleHelp();
    return true;
  }
  if (helpShown() || lightShown()) {
    if (!/^(Escape|Enter| |\?|h|l)$/i.test(name)) return false;
    if (helpShown()) toggleHelp(); else toggleLight();
    return true;
  }
  if (v.cross && arrows[name] && !e.metaKey) {
    const step = e.altKey || e.ctrlKey ? .25 : e.shiftKey ? 10 : 1;
    tell({ do: "nudge", right: arrows[name][0] * step, up: arrows[name][1] * step });
    return true;
  }
  if (e.ctrlKey || e.altKey || e.metaKey) return false;
  if (v.field) return type(name, e);
  if (passing.test(name)) return false;
  // A key that is held down would run through the cuts.
  if (e.repeat) return true;
  if (!press(e.shiftKey && steps.includes(name) ? "Shift+" + name : name)) hint();
  return true;
}

// type hears keys while there is a field.
function type(name, e) {
  const [first, second] = typed();
  if (name === "Enter" || name === "PageDown") {
    if (!e.repeat) tell({ do: "type", text: first.value, other: second.value });
    return true;
  }
  const empty = document.activeElement.value === "" || e.target === document.body;
  if (name === "ArrowUp" || name === "PageUp" || name === "Backspace" && empty) {
    if (document.activeElement === second) first.focus();
    else if (!e.repeat) tell({ do: "key", text: "back" });
    return true;
  }
  return false;
}
