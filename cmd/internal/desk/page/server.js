// SPDX-License-Identifier: Apache-2.0

// Speaks with the server: one thing after another, so that what is done first counts
// first, and again when it did not get through.

let heard = () => {};
let lost = () => {};
let serial = -1;
let busy = false;
const queue = [];

export function onView(f) { heard = f; }
export function onLost(f) { lost = f; }

function show(view) {
  if (view.serial <= serial) return; // seen already
  serial = view.serial;
  heard(view);
}

async function send() {
  if (busy) return;
  busy = true;
  while (queue.length) {
    let answer;
    try {
      answer = await fetch("do", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(queue[0].action) });
    } catch {
      lost(true);
      setTimeout(send, 1000);
      break;
    }
    const { done } = queue.shift();
    lost(!answer.ok);
    if (answer.ok) {
      const view = await answer.json();
      show(view);
      done?.(view);
    }
    document.body.dataset.waiting = queue.length;
  }
  busy = false;
}

// tell that something was done; done hears what is to be seen then.
export function tell(action, done) {
  const last = queue.at(-1);
  // Of what is typed while the one before is under way only the newest counts.
  if (queue.length > 1 && action.more && last.action.more && action.edits.length === 1 && last.action.edits.length === 1 && action.edits[0].path === last.action.edits[0].path) queue.pop();
  queue.push({ action, done });
  document.body.dataset.waiting = queue.length;
  send();
}

export function listen() {
  const events = new EventSource("events");
  events.onmessage = e => { lost(false); show(JSON.parse(e.data)); };
  events.onerror = () => lost(true);
}

// drawing fetches a picture as a document.
export function drawing(address, then) {
  const r = new XMLHttpRequest();
  r.responseType = "document";
  r.open("GET", address);
  r.onload = () => then(r.status === 200 ? r.responseXML?.documentElement : null);
  r.onerror = () => then(null);
  r.send();
}
