// SPDX-License-Identifier: Apache-2.0

// How the diamonds lie, by hand: above the picture lies a grid of which one cell can be
// reached, the one she is at. The mouse, a finger and the arrow keys go to cells; a
// click, Enter or Space turns or marks.

import { tell } from "./server.js";

const $ = id => document.getElementById(id);
const grid = $("cells");
const ways = { R: "leans right", L: "leans left", r: "leans right, upside down", l: "leans left, upside down" };
let lay = null;
let shown = false;
let at = [0, 0]; // column and row
let marked = null; // two corners
let from = null; // where marking with the mouse began
let moved = false;

const mod = (n, of) => ((n % of) + of) % of;
const letter = ([c, r]) => { const n = lay.repeat.length; return lay.repeat[n - 1 - mod(r, n)][mod(c, lay.repeat[0].length)]; };
const kind = ([c, r]) => r < 0 ? `edge triangle ${c + 1} of the bottom` : r === lay.rows ? `edge triangle ${c + 1} of the top` : `row ${r + 1} from below, diamond ${c + 1}`;
const inside = ([c, r]) => [Math.min(Math.max(c, 0), lay.columns - 1), Math.min(Math.max(r, -1), lay.rows)];
const centre = ([c, r]) => [lay.first[0] + (c + (mod(r, 2) ? 0.5 : 0)) * lay.step[0], lay.first[1] - r * lay.step[1]];

// diamond is the outline of a cell; of edge triangles only the half that is in the quilt.
function diamond(cell) {
  const [x, y] = centre(cell), [w, h] = [lay.step[0] / 2, lay.step[1]];
  return `M${x - w} ${y}` + (cell[1] < lay.rows ? `L${x} ${y - h}` : "") + `L${x + w} ${y}` + (cell[1] >= 0 ? `L${x} ${y + h}` : "") + "Z";
}

// cellAt is the cell at a place of the window.
function cellAt(e) {
  const box = grid.getBoundingClientRect(), view = $("quilt").viewBox.baseVal;
  const x = (e.clientX - box.left) / box.width * view.width, y = (e.clientY - box.top) / box.height * view.height;
  let best = null, least = 1;
  const near = Math.round((lay.first[1] - y) / lay.step[1]);
  for (let r = near - 1; r <= near + 1; r++) {
    const c = Math.round((x - lay.first[0]) / lay.step[0] - (mod(r, 2) ? 0.5 : 0));
    const [cx, cy] = centre([c, r]);
    const far = Math.abs(x - cx) / lay.step[0] * 2 + Math.abs(y - cy) / lay.step[1];
    if (far <= least && c >= 0 && c < lay.columns && r >= -1 && r <= lay.rows) { best = [c, r]; least = far; }
  }
  return best;
}

function corners() {
  const [a, b] = marked;
  return [[Math.min(a[0], b[0]), Math.min(a[1], b[1])], [Math.max(a[0], b[0]), Math.max(a[1], b[1])]];
}

// draw shows where she is and what is marked.
function draw() {
  const view = $("quilt")?.viewBox.baseVal;
  if (!view || !shown) return;
  at = inside(at);
  $("over").setAttribute("viewBox", `0 0 ${view.width} ${view.height}`);
  $("over-at").setAttribute("d", diamond(at));
  let d = "";
  if (marked) {
    marked = marked.map(inside);
    const [low, high] = corners();
    for (let r = low[1]; r <= high[1]; r++) for (let c = low[0]; c <= high[0]; c++) d += diamond([c, r]);
  }
  $("over-marked").setAttribute("d", d);
  grid.setAttribute("aria-rowcount", lay.rows + 2);
  grid.setAttribute("aria-colcount", lay.columns);
  $("cell").parentNode.setAttribute("aria-rowindex", lay.rows + 1 - at[1]);
  $("cell").setAttribute("aria-colindex", at[0] + 1);
  $("cell").setAttribute("aria-selected", String(!!marked && corners().every(([c, r], i) => i ? at[0] <= c && at[1] <= r : at[0] >= c && at[1] >= r)));
  const said = `${kind(at)}: ${ways[letter(at)]}`;
  if ($("cell").textContent !== said) $("cell").textContent = said;
  const wide = marked ? corners()[1][0] - corners()[0][0] + 1 : 0, high = marked ? corners()[1][1] - corners()[0][1] + 1 : 0;
  const told = said + (marked ? `; ${wide} by ${high} marked` : "");
  if ($("lies").textContent !== told) $("lies").textContent = told;
  $("repeat").disabled = $("unmark").disabled = !marked;
}

function mark(from, to) { marked = [from, to]; at = to; draw(); }

// act does at a cell what a click does.
function act() {
  const how = $("click").value;
  if (how === "mark") { mark(marked && String(marked[0]) === String(marked[1]) ? marked[0] : at, at); return; }
  tell({ do: "turn", cells: [at], alone: how === "alone" });
}

grid.addEventListener("pointerdown", e => {
  const cell = cellAt(e);
  moved = false;
  from = !cell || e.button > 0 ? null : e.shiftKey ? marked?.[0] ?? at : $("click").value === "mark" ? cell : null;
  if (e.shiftKey && from) { mark(from, cell); moved = true; e.preventDefault(); }
});
grid.addEventListener("pointermove", e => {
  const cell = from && e.buttons & 1 ? cellAt(e) : null;
  if (!cell || String(cell) === String(moved ? at : from)) return;
  mark(from, cell);
  moved = true;
});
grid.addEventListener("click", e => {
  const cell = cellAt(e);
  from = null;
  if (!cell) return;
  at = cell;
  $("cell").focus({ preventScroll: true });
  if (!moved) act();
  draw();
});

const moves = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
$("cell").addEventListener("keydown", e => {
  if (e.ctrlKey || e.metaKey || e.altKey) return;
  const step = moves[e.key] ?? (e.key === "Home" ? [-at[0], 0] : e.key === "End" ? [lay.columns, 0] : null);
  if (step) {
    const to = inside([at[0] + step[0], at[1] + step[1]]);
    if (e.shiftKey) mark(marked ? marked[0] : at, to);
    else { at = to; draw(); }
    reveal();
  } else if (e.key === "Enter" || e.key === " ") act();
  else if (e.key === "Escape") { marked = null; draw(); }
  else return;
  e.preventDefault();
});

// reveal brings the cell into view where the picture is larger than its room.
function reveal() { $("over-at").scrollIntoView?.({ block: "nearest", inline: "nearest" }); }

$("by-hand").addEventListener("click", () => tell({ do: "lay" }, () => $("cell").focus({ preventScroll: true })));
$("repeat").addEventListener("click", () => { tell({ do: "repeat", cells: marked }); marked = null; draw(); $("cell").focus({ preventScroll: true }); });
$("unmark").addEventListener("click", () => { marked = null; draw(); $("cell").focus({ preventScroll: true }); });
$("click").addEventListener("change", () => { grid.dataset.click = $("click").value; });

// show shows the cells of a view, above a picture that has them.
export function show(v, picture) {
  lay = v.lay;
  $("by-hand").hidden = !lay || lay.own;
  shown = !!lay?.own && picture;
  grid.hidden = $("hand").hidden = !shown;
  if (!lay?.own) marked = null;
  draw();
}
