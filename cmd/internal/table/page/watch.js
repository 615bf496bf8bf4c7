// SPDX-License-Identifier: Apache-2.0

// Watches the window: the lines are true only as long as it stays as it was
// when the projector was calibrated. The canvas is kept at one pixel for each
// of the screen's.

import { awake } from "./wake.js";

const canvas = document.getElementById("picture");
let device = [0, 0];
let told = "";

export function describe() {
  return {
    ratio: devicePixelRatio,
    wide: innerWidth,
    high: innerHeight,
    left: Math.round(screenX),
    top: Math.round(screenY),
    device,
    screen: `${Math.round(screen.width * devicePixelRatio)}x${Math.round(screen.height * devicePixelRatio)}`,
    pinch: Math.round((visualViewport?.scale ?? 1) * 1000) / 1000,
    secure: isSecureContext,
    awake: awake(),
  };
}

// measured returns the size of the canvas in device pixels: as the browser
// says, unless it only plays at another ratio and says what can't be.
function measured(exact) {
  const box = canvas.getBoundingClientRect();
  const near = [Math.round(box.width * devicePixelRatio), Math.round(box.height * devicePixelRatio)];
  return exact.every((v, i) => Math.abs(v - near[i]) <= 1) ? exact : near;
}

// watch calls changed when anything is not as it was told last, and redraw
// when the canvas was emptied because its size changed.
export function watch(changed, redraw) {
  let exact = [0, 0];
  const look = () => {
    device = measured(exact);
    if (canvas.width !== device[0] || canvas.height !== device[1]) {
      [canvas.width, canvas.height] = device;
      redraw();
    }
    const now = JSON.stringify(describe());
    if (now !== told) {
      told = now;
      changed();
    }
  };
  const sizes = new ResizeObserver(entries => {
    const size = entries[0].devicePixelContentBoxSize?.[0];
    if (size) exact = [size.inlineSize, size.blockSize];
    look();
  });
  try {
    sizes.observe(canvas, { box: "device-pixel-content-box" });
  } catch {
    sizes.observe(canvas);
  }
  addEventListener("resize", look);
  visualViewport?.addEventListener("resize", look);
  document.addEventListener("wakechange", look);
  // Nothing tells that a window was moved.
  setInterval(look, 1000);
}
