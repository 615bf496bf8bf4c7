// SPDX-License-Identifier: Apache-2.0

// Keeps the screen awake, where the browser can.

let lock = null;

export function awake() { return Boolean(lock && !lock.released); }

async function request() {
  if (!navigator.wakeLock || document.visibilityState !== "visible") return;
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", changed);
  } catch {
    lock = null; // the page says so
  }
  changed();
}

function changed() { document.dispatchEvent(new Event("wakechange")); }

// stayAwake asks now and whenever the page is seen again.
export async function stayAwake() {
  document.addEventListener("visibilitychange", request);
  await request();
}
