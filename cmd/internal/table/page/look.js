// SPDX-License-Identifier: Apache-2.0

// What lines and words look like.

// Lines on a dark ground and on a light one.
const light = ["#ffffff", "#ffe066", "#8cff9e", "#86dcff", "#ffb3e2", "#ffa66b"];
export const names = ["white or black", "yellow or brown", "green", "blue", "pink", "orange"];
const dark = ["#000000", "#573c00", "#00451b", "#00315e", "#5a0045", "#6a1f00"];

let look = { width: 2, colour: 0, light: false, bright: 1, words: 1, all: false, square: false };

export function useLook(next) {
  look = next;
  const root = document.documentElement.style;
  root.setProperty("--line", colour(1));
  root.setProperty("--faint", colour(.4));
  root.setProperty("--ground", ground());
}

export function current() { return look; }

// Light adds up, the numbers of sRGB do not: brightness is mixed in linear
// light (IEC 61966-2-1).
const linear = v => v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4;
const coded = v => v <= .0031308 ? v * 12.92 : 1.055 * v ** (1 / 2.4) - .055;

function parts(hex) { return [1, 3, 5].map(i => linear(parseInt(hex.slice(i, i + 2), 16) / 255)); }
function css(rgb) { return `rgb(${rgb.map(v => Math.round(255 * coded(v))).join(" ")})`; }
function base() { return look.light ? [1, 1, 1].map(v => v * look.bright) : [0, 0, 0]; }

export function ground() { return css(base()); }

// What a lit room adds, over what the projector lights: 300 lx over 5,000 lx.
const room = .06;

// seen is how far apart ground and line are to the eye, which goes by ratios,
// for a part of the light: on a dark ground part 1/2 is half of the light, on a
// light one a line stands out as much.
const seen = part => Math.log(1 + part / room) / Math.log(1 + 1 / room);

// colour of a line that takes a part of the light, from 0, the ground, to 1.
export function colour(part) {
  const list = look.light ? dark : light;
  const full = parts(list[look.colour % list.length]).map(v => look.light ? v : v * look.bright);
  const below = base();
  return css(full.map((v, i) => Math.max(0, (below[i] + room) * ((v + room) / (below[i] + room)) ** seen(part) - room)));
}

// sized returns the look with words larger or smaller by a step.
export function sized(n) {
  return { ...look, words: Math.round(10 * Math.min(2.5, Math.max(.5, look.words + n * .1))) / 10 };
}
