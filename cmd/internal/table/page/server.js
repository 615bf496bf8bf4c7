// SPDX-License-Identifier: Apache-2.0

// Speaks with the server: one thing after another, so that what is pressed
// first counts first.

let heard = () => {};
let lost = () => {};
let last = Promise.resolve();
let serial = -1;

export function onView(f) { heard = f; }
export function onLost(f) { lost = f; }

async function get(path, options) {
  let answer;
  try {
    answer = await fetch(path, { cache: "no-store", ...options });
  } catch {
    lost("lozenge has stopped. Start it again in the terminal and open the address that it prints.");
    return;
  }
  if (!answer.ok) {
    lost(`The page and lozenge don't understand each other (${answer.status}): load the page again.`);
    return;
  }
  const view = await answer.json();
  lost("");
  if (view.serial >= serial) {
    serial = view.serial;
    heard(view);
  }
}

function queue(f) {
  last = last.then(f, f);
  return last;
}

// ask for what is to be shown.
export function ask() { return queue(() => get("view")); }

// tell that something was done.
export function tell(action) {
  return queue(() => get("do", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(action),
  }));
}
