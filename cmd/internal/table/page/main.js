// SPDX-License-Identifier: Apache-2.0

// Begins everything: a view comes from the server, is drawn and told; what is
// pressed or changed goes to the server.

import { ask, tell, onView, onLost } from "./server.js";
import { draw, moveCross } from "./draw.js";
import { showWords, showLost } from "./words.js";
import { listen } from "./keys.js";
import { watch, describe } from "./watch.js";
import { stayAwake } from "./wake.js";
import { useLook } from "./look.js";

let view = null;

function show(next) {
  const fresh = !view || view.stage !== next.stage || view.say !== next.say;
  view = next;
  useLook(view.look);
  if (view.cross) moveCross(view.cross, fresh);
  draw(view);
  document.body.dataset.stage = view.stage;
  showWords(view);
  document.body.dataset.serial = view.serial;
}

onView(show);
onLost(showLost);
listen(() => view, () => draw(view));
await ask();
await stayAwake();
watch(() => tell({ do: "window", window: describe() }), () => view && draw(view));
