// SPDX-License-Identifier: Apache-2.0

// What lines and words look like, and the keys that change it.

// Lines on a dark ground and on a light one.
const light = ["#ffffff", "#ffe066", "#8cff9e", "#86dcff", "#ffb3e2", "#ffa66b"];
const dark = ["#000000", "#573c00", "#00451b", "#00315e", "#5a0045", "#6a1f00"];

let look = { width: 2, colour: 0, light: false, bright: 1, words: 1, later: false, square: false };

export function useLook(next) {
  look = next;
  const root = document.documentElement.style;
  root.setProperty("--line", colour(1));
  root.setProperty("--faint", colour(.5));
  root.setProperty("--ground", ground());
  root.setProperty("--words", look.words);
}

export function current() { return look; }

function parts(hex) { return [1, 3, 5].map(i => parseInt(hex.slice(i, i + 2), 16)); }
function css(rgb) { return `rgb(${rgb.map(Math.round).join(" ")})`; }
function base() { return look.light ? [255, 255, 255].map(v => v * look.bright) : [0, 0, 0]; }

export function ground() { return css(base()); }

// colour of a line that is so bright, from 0, the ground, to 1.
export function colour(part) {
  const list = look.light ? dark : light;
  const full = parts(list[look.colour % list.length]).map(v => look.light ? v : v * look.bright);
  const below = base();
  return css(full.map((v, i) => below[i] + (v - below[i]) * part));
}

const steps = { width: [.5, 12, .5], bright: [.3, 1, .1], words: [.5, 2.5, .1] };

function by(name, n) {
  const [least, most, step] = steps[name];
  const v = Math.min(most, Math.max(least, look[name] + n * step));
  return { ...look, [name]: Math.round(v * 100) / 100 };
}

// changed returns the look after a key, or nothing when the key is for
// something else.
export function changed(key, stage) {
  switch (key) {
    case "t": return by("width", 1);
    case "T": return by("width", -1);
    case "b": return by("bright", 1);
    case "B": return by("bright", -1);
    case "+": case "=": return by("words", 1);
    case "-": case "_": return by("words", -1);
    case "c": return { ...look, colour: (look.colour + 1) % light.length };
    case "C": return { ...look, colour: (look.colour + light.length - 1) % light.length };
    case "g": case "G": return { ...look, light: !look.light };
  }
  if (stage === "cut") {
    if (key === "a" || key === "A") return { ...look, later: !look.later };
    if (key === "k" || key === "K") return { ...look, square: !look.square };
  }
  return undefined;
}
