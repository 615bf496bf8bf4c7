// SPDX-License-Identifier: Apache-2.0

// Draws lines and the lettering on the mat, in the screen's own pixels: each
// point exactly where the server puts it.

import { colour, ground, current } from "./look.js";
import { drawQuilt } from "./quilt.js";

const canvas = document.getElementById("picture");
const pen = canvas.getContext("2d", { alpha: false });

// How each kind of line looks: brightness, width, dashes; the widths and
// dashes are times that of a cut line.
const styles = {
  now: [1, 1],
  next: [.45, 1],
  later: [.28, .75],
  lineup: [1, 1.5, [12, 5]],
  seam: [.5, .75, [6, 4]],
  sew: [.5, .75, [14, 5]],
  rim: [.5, .5],
  piece: [.16, 0],
  square: [.6, .75],
  check: [.45, .5],
  side: [1, 1.5],
  cross: [1, 1],
  other: [.4, 1],
};

// unit is the width of a cut line: what is asked for on a screen 1920 across,
// and in proportion on larger ones.
function unit() { return current().width * Math.max(1, canvas.width / 1920); }

function shown(as) {
  if (as === "later") return current().later;
  if (as === "check") return current().square;
  return true;
}

function stroke(as, points, du = 0, dv = 0) {
  const [bright, wide, dash = []] = styles[as];
  const w = unit();
  pen.strokeStyle = colour(bright);
  pen.lineWidth = Math.max(1, wide * w);
  pen.setLineDash(dash.map(d => d * w));
  pen.beginPath();
  pen.moveTo(points[0] + du, points[1] + dv);
  for (let i = 2; i < points.length; i += 2) pen.lineTo(points[i] + du, points[i + 1] + dv);
  pen.stroke();
}

function fill(as, points) {
  pen.fillStyle = colour(styles[as][0]);
  pen.beginPath();
  pen.moveTo(points[0], points[1]);
  for (let i = 2; i < points.length; i += 2) pen.lineTo(points[i], points[i + 1]);
  pen.fill();
}

// The height of a capital over the size of the font, in most faces.
const capital = .716;

function letter(word) {
  const [ax, ay] = word.across, [ux, uy] = word.up;
  pen.save();
  pen.setTransform(ax / 100, ay / 100, -ux / 100, -uy / 100, word.at[0], word.at[1]);
  pen.font = `500 ${100 / capital}px system-ui, "Helvetica Neue", Arial, sans-serif`;
  pen.textAlign = word.centred ? "center" : "left";
  pen.fillStyle = colour(styles[word.as][0]);
  pen.fillText(word.text, 0, 0);
  pen.restore();
}

let cross = null;

// moveCross takes a cross that the arrow keys are to move. The same one as
// before stays where it was moved to.
export function moveCross(next, fresh) {
  const at = fresh || !cross ? next.at.slice() : cross.at;
  cross = { ...next, at };
}

export function crossAt() { return cross.at; }

// nudge moves the cross: so many pixels to the right and up, as someone at
// the mat sees it.
export function nudge(right, up) {
  const [w, h] = [canvas.width, canvas.height];
  cross.at[0] = Math.min(w, Math.max(0, cross.at[0] + right * cross.right[0] + up * cross.up[0]));
  cross.at[1] = Math.min(h, Math.max(0, cross.at[1] + right * cross.right[1] + up * cross.up[1]));
}

export function draw(view) {
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.fillStyle = ground();
  pen.fillRect(0, 0, canvas.width, canvas.height);
  // What was made for a window of another size would lie.
  if (view.screen.width !== canvas.width || view.screen.height !== canvas.height) return;
  pen.lineJoin = "round";
  pen.lineCap = "butt";
  if (view.quilt) drawQuilt(pen, view.quilt, colour, unit());
  for (const f of view.fills ?? []) fill(f.as, f.points);
  for (const l of view.lines ?? []) if (shown(l.as)) stroke(l.as, l.points);
  for (const w of view.words ?? []) if (shown(w.as)) letter(w);
  if (view.cross) for (const arm of cross.arms) stroke("cross", arm, cross.at[0], cross.at[1]);
}
