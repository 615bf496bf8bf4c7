// SPDX-License-Identifier: Apache-2.0

// The page of the light: what lines and words look like, in one place.

import { current, names } from "./look.js";
import { changeLook } from "./keys.js";
import { toggleLight } from "./words.js";

const by = id => document.getElementById(id);
const numbers = ["width", "bright", "words"];

by("colour").replaceChildren(...names.map((name, i) => new Option(name, i)));

// showLight has the controls show what is so.
export function showLight() {
  const look = current();
  for (const id of numbers) by(id).value = look[id];
  by("colour").value = look.colour;
  by("ground").checked = look.light;
}

export function listenToLight() {
  by("light").addEventListener("input", () => {
    const look = { ...current(), colour: Number(by("colour").value), light: by("ground").checked };
    for (const id of numbers) look[id] = Number(by(id).value);
    changeLook(look);
  });
  by("lit").addEventListener("click", toggleLight);
}
