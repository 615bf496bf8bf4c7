// SPDX-License-Identifier: Apache-2.0

// The table of scraps that is typed: each row is a strip that is there, or several
// alike. What was typed goes to the server as the table that a spreadsheet would save.

import { el } from "./make.js";

const $ = id => document.getElementById(id);
const rows = $("scrap-rows");
const columns = [
  ["fabric", "fabric", "bark"], ["name", "its name", ""], ["color", "colour", "teal or #008080"],
  ["width", "width", "2 1/2"], ["length", "length", "40"], ["count", "how many", "1"],
];

let used = ""; // the table whose lines are changed; "" for a new one

// add adds a row with what stands in a line of a table.
function add(line = []) {
  const n = rows.children.length + 1;
  const row = el("div", { className: "scrap", role: "group", ariaLabel: `scrap ${n}` });
  for (const [at, [key, label, example]] of columns.entries()) {
    const i = el("input", { type: "text", "data-key": key, value: line[at] ?? "", placeholder: example, spellcheck: false, autocapitalize: "off", inputMode: key === "count" ? "numeric" : "text" });
    i.addEventListener("input", () => { if (row === rows.lastElementChild) add(); });
    const field = el("label", {}, label, i);
    if (key !== "color") row.append(field);
    else {
      const pick = el("input", { type: "color", ariaLabel: `choose the colour of scrap ${n}`, value: /^#[0-9a-f]{6}$/i.test(i.value) ? i.value : "#888888" });
      i.addEventListener("input", () => { if (/^#[0-9a-f]{6}$/i.test(i.value)) pick.value = i.value; });
      pick.addEventListener("input", () => { i.value = pick.value; i.dispatchEvent(new Event("input")); });
      row.append(el("div", { className: "colour" }, field, pick));
    }
  }
  rows.append(row);
  examples(row);
}

const cells = row => [...row.querySelectorAll("[data-key]")].map(i => i.dataset.key === "fabric" ? i.value.trim().replace(/[^A-Za-z0-9_-]+/g, "-") : i.value.trim());
const quoted = cell => /[",;\t]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;

// send sends a table; typed are the rows in which it stands.
async function send(table, name, typed) {
  const answer = await fetch(`scraps?unit=${$("scrap-unit").value}&name=${encodeURIComponent(name)}`, { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: table });
  const problems = answer.ok ? (await answer.json()).problems : [{ message: answer.status === 413 ? "That table is too large." : "It could not be read." }];
  tell(problems, typed);
  if (!problems.length) { $("scraps").close(); return; }
  if (!$("scraps").open) show(true);
  rows.querySelector("[aria-invalid]")?.focus();
}

// tell says what is wrong with a table.
function tell(problems, typed) {
  for (const e of rows.querySelectorAll("[aria-invalid]")) e.removeAttribute("aria-invalid");
  $("scrap-wrong").replaceChildren(...problems.map(p => {
    const row = typed?.[p.line - 2];
    const at = row?.querySelector(`[data-key="${/^\w+/.exec(p.message)?.[0]}"]`);
    at?.setAttribute("aria-invalid", "true");
    at?.setAttribute("aria-describedby", "scrap-wrong");
    return el("p", {}, (row ? row.ariaLabel + ": " : p.line ? `line ${p.line}: ` : "") + [p.message, p.hint].filter(Boolean).join("; "));
  }));
}

// take takes a table that was dropped or chosen.
export function take(file) { send(file, file.name); }

// open opens the table for a new quilt, or for the one that is tried.
export function open(begins) {
  used = "";
  show(begins);
}

// change opens the table that is used, with its lines.
export async function change(name) {
  const answer = await fetch("scraps");
  const table = answer.ok ? await answer.json() : { rows: [], problems: [{ message: "It could not be read." }] };
  used = name;
  rows.replaceChildren();
  for (const line of table.rows) add(line);
  add();
  tell(table.problems);
  show(false);
}

function show(begins) {
  while (rows.children.length < 3) add();
  $("scrap-unit").parentNode.hidden = !begins;
  $("scraps").showModal();
  if (!$("scrap-wrong").children.length) rows.querySelector("input").focus();
}

// examples show what widths and lengths may look like.
function examples(within) {
  const [width, length] = $("scrap-unit").value === "cm" ? ["6.5", "100"] : ["2 1/2", "40"];
  for (const i of within.querySelectorAll("[data-key=width]")) i.placeholder = width;
  for (const i of within.querySelectorAll("[data-key=length]")) i.placeholder = length;
}

$("scrap-unit").addEventListener("change", () => examples(rows));
$("scrap-done").addEventListener("click", () => {
  const typed = [...rows.children].filter(row => cells(row).some(Boolean));
  send([columns.map(c => c[0]), ...typed.map(cells)].map(row => row.map(quoted).join(",") + "\n").join(""), used || "my-scraps.csv", typed);
});
$("scrap-not").addEventListener("click", () => $("scraps").close());
$("scrap-file").addEventListener("change", () => { if ($("scrap-file").files[0]) take($("scrap-file").files[0]); $("scrap-file").value = ""; });
