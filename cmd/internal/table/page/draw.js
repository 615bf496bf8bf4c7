// SPDX-License-Identifier: Apache-2.0

// Draws lines and the lettering on the mat, in the screen's own pixels: each
// point exactly where the server puts it.

import { colour, ground, current } from "./look.js";
import { drawQuilt } from "./quilt.js";

const canvas = document.getElementById("picture");
const pen = canvas.getContext("2d", { alpha: false });

// How each kind of line looks: its part of the light, width, dashes; the widths
// and dashes are times those of a cut line. Edges of the cloth are as wide as
// cuts, and dotted.
export const styles = {
  now: [1, 1],
  next: [.4, 1],
  lineup: [1, 1.5, [12, 5]],
  ghost: [.4, 1, [4, 4]],
  arrow: [.7, 1.5],
  seam: [.4, 1, [6, 4]],
  sew: [.4, .75, [14, 5]],
  rim: [.5, 1, [1.5, 2.5]],
  piece: [.38, 0],
  square: [.6, .75],
  check: [.4, .75],
  side: [1, 1.5],
  cross: [1, 1],
  other: [.4, 1],
};

// unit is the width of a cut line: what is asked for on a screen 1920 across,
// and in proportion on larger ones.
function unit() { return current().width * Math.max(1, canvas.width / 1920); }

function shown(as) { return as !== "check" || current().square; }

function trace(points) {
  pen.beginPath();
  pen.moveTo(points[0], points[1]);
  for (let i = 2; i < points.length; i += 2) pen.lineTo(points[i], points[i + 1]);
}

function stroke(as, points) {
  const [bright, wide, dash = []] = styles[as];
  const w = unit();
  trace(points);
  if (as === "now" || as === "lineup") {
    // A dark edge, so that it is seen on what is filled.
    pen.strokeStyle = ground();
    pen.setLineDash([]);
    pen.lineWidth = 3 * Math.max(1, wide * w);
    pen.stroke();
  }
  pen.strokeStyle = colour(bright);
  pen.lineWidth = Math.max(1, wide * w);
  pen.setLineDash(dash.map(d => d * w));
  pen.stroke();
}

// fill fills a band in its own colour, a piece with a part of the light, and
// hatched.
function fill({ as, points, colour: own }) {
  trace(points);
  pen.fillStyle = own ?? colour(styles[as][0]);
  pen.fill();
  if (own) return;
  pen.save();
  pen.clip();
  pen.strokeStyle = colour(.6);
  pen.lineWidth = unit();
  pen.setLineDash([]);
  pen.beginPath();
  const u = points.filter((_, i) => i % 2 === 0), v = points.filter((_, i) => i % 2), high = Math.max(...v) - Math.min(...v);
  for (let x = Math.min(...u) - high; x < Math.max(...u); x += 14 * unit()) {
    pen.moveTo(x, Math.max(...v));
    pen.lineTo(x + high, Math.min(...v));
  }
  pen.stroke();
  pen.restore();
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

export function draw(view) {
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.fillStyle = ground();
  pen.fillRect(0, 0, canvas.width, canvas.height);
  // What was made for a window of another size would lie.
  if (view.screen.width !== canvas.width || view.screen.height !== canvas.height) return;
  pen.lineJoin = "round";
  pen.lineCap = "butt";
  if (view.quilt) drawQuilt(pen, view.quilt, colour, unit());
  for (const f of view.fills ?? []) fill(f);
  for (const l of view.lines ?? []) if (shown(l.as)) stroke(l.as, l.points);
  for (const w of view.words ?? []) if (shown(w.as)) letter(w);
}
