// SPDX-License-Identifier: Apache-2.0

// Begins everything on the page under the projector: a view comes from the
// server, is drawn and told; what is pressed or changed goes to the server.

import { tell, listen, waiting, page, onView, onLost } from "./server.js";
import { draw } from "./draw.js";
import { showWords, showLost, onPress } from "./words.js";
import { listenToKeys, press } from "./keys.js";
import { showLight, listenToLight } from "./light.js";
import { watch, describe } from "./watch.js";
import { stayAwake } from "./wake.js";
import { useLook, current } from "./look.js";

let view = null, leaving = 0;

function show(next) {
  // There is one picture; whoever opens the page again holds a hand page. The
  // page that was there before this one was loaded anew is still about to go.
  clearTimeout(leaving);
  if (next.picture && next.picture !== page) {
    leaving = setTimeout(() => location.replace("hand"), 700);
    return;
  }
  if (view && waiting("look")) next.look = current(); // what was changed since is on its way
  view = next;
  useLook(view.look);
  showLight();
  draw(view);
  document.body.dataset.stage = view.stage;
  document.body.dataset.done = view.done;
  showWords(view);
  document.body.dataset.serial = view.serial;
}

function gone(n, status) {
  if (status) return `The page and lozenge don't understand each other (${status}): load the page again.`;
  return n ? "lozenge has stopped. Start it again in the terminal and open the address that it prints." : "";
}

onView(show);
onLost((n, status) => showLost(gone(n, status)));
onPress(press);
listenToKeys(() => view, () => draw(view));
listenToLight();
listen(location.search === "?here" ? "here" : "picture");
await stayAwake();
watch(() => tell({ do: "window", window: describe() }), () => view && draw(view));
