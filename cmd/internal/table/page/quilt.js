// SPDX-License-Identifier: Apache-2.0

// Draws the quilt: what is cut in its colours, the rest in outline.

function mapped(m, x, y) {
  const w = m[6] * x + m[7] * y + m[8];
  return [(m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w];
}

function trace(pen, m, points, x, y) {
  pen.beginPath();
  for (let i = 0; i < points.length; i += 2) {
    const [u, v] = mapped(m, points[i] + x, points[i + 1] + y);
    if (i) pen.lineTo(u, v); else pen.moveTo(u, v);
  }
  pen.closePath();
}

export function drawQuilt(pen, quilt, colour, wide) {
  const m = quilt.matrix;
  const [w, h] = quilt.frame;
  pen.setLineDash([]);
  pen.save();
  // Only what is left when the sides are squared up.
  trace(pen, m, [0, 0, w, 0, w, h, 0, h], 0, 0);
  pen.clip();
  pen.lineWidth = Math.max(1, wide / 2);
  for (const cell of quilt.cells) {
    quilt.shapes[cell.k].forEach((patch, i) => {
      trace(pen, m, patch, cell.x, cell.y);
      if (cell.d) {
        pen.fillStyle = cell.c[i];
        pen.fill();
      }
      pen.strokeStyle = cell.d ? "rgb(0 0 0 / .35)" : colour(.3);
      pen.stroke();
    });
  }
  pen.lineWidth = Math.max(2, 2 * wide);
  pen.strokeStyle = colour(1);
  for (const cell of quilt.cells) {
    if (!cell.n) continue;
    for (const patch of quilt.shapes[cell.k]) {
      trace(pen, m, patch, cell.x, cell.y);
      pen.stroke();
    }
  }
  pen.restore();
  trace(pen, m, [0, 0, w, 0, w, h, 0, h], 0, 0);
  pen.lineWidth = Math.max(1, wide);
  pen.strokeStyle = colour(.7);
  pen.stroke();
}
