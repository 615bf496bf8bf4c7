// SPDX-License-Identifier: Apache-2.0

// Speaks with the server: one thing after another, so that what is pressed
// first counts first, and again when it did not get through. What other pages
// did is heard at once.

// page is this page's own name.
export const page = [...crypto.getRandomValues(new Uint8Array(8))].map(b => b.toString(16).padStart(2, "0")).join("");

let heard = () => {};
let lost = () => {};
let serial = -1;
let number = 0;
let busy = false;
const queue = [];

export function onView(f) { heard = f; }
export function onLost(f) { lost = f; }

// waiting reports whether something of that kind has no answer yet.
export function waiting(kind) { return queue.some(action => action.do === kind); }

// count says on the page how many wait, for whoever looks after it.
function count() { document.body.dataset.waiting = queue.length; }

export function show(view) {
  if (view.serial <= serial) return;
  serial = view.serial;
  heard(view);
}

async function send() {
  if (busy) return;
  busy = true;
  while (queue.length) {
    let answer;
    try {
      answer = await fetch("do", {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify(queue[0]),
        signal: AbortSignal.timeout(8000),
      });
    } catch {
      lost(queue.length, 0);
      setTimeout(send, 1000);
      break;
    }
    queue.shift();
    if (answer.ok) {
      lost(0, 0);
      show(await answer.json());
    } else {
      lost(queue.length, answer.status);
    }
    count();
  }
  busy = false;
}

// tell that something was done. Each thing has a number, so that it counts
// once however often it is sent.
export function tell(action) {
  queue.push({ ...action, page, number: ++number });
  count();
  send();
}

let events = null;

count();

// listen hears what other pages do, while this one is seen; as is what kind of
// page it is.
export function listen(as) {
  const begin = () => {
    if (document.visibilityState === "hidden") {
      events?.close();
      events = null;
    } else if (!events || events.readyState === EventSource.CLOSED) {
      events = new EventSource(`events?page=${page}&as=${as}`);
      events.onmessage = e => show(JSON.parse(e.data));
      send();
    }
  };
  document.addEventListener("visibilitychange", begin);
  addEventListener("online", begin);
  setInterval(begin, 5000);
  begin();
}
