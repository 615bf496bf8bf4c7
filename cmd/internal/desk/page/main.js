// SPDX-License-Identifier: Apache-2.0

import { el, sections } from "./make.js";
import { drawing, listen, onLost, onView, tell } from "./server.js";
import { show as fields } from "./fields.js";
import { show as lay } from "./lay.js";
import { open as haveStrips, take as takeTable } from "./scraps.js";

const $ = id => document.getElementById(id);
let view = null;
let drawn = "";
let larger = 1; // than fits the window

function begin(v) {
  $("where").textContent = v.patterns?.length ? `Patterns in ${v.folder}` : `There is no pattern in ${v.folder} yet.`;
  $("resume").hidden = !v.unsaved;
  $("patterns").replaceChildren(...(v.patterns ?? []).map(name => {
    const b = el("button", { type: "button" }, name);
    b.addEventListener("click", () => tell({ do: "open", name }));
    return el("li", {}, b);
  }));
}

// quilt draws the picture when there is another one.
function quilt(v) {
  const as = $("as").value;
  const want = v.picture ? `picture.svg?as=${as}&v=${v.picture}` : "";
  $("wait").textContent = v.problems?.length && v.picture ? "The last quilt that could be planned" : v.planning ? "Planning" : "";
  if (want === drawn) { lay(v, !!$("quilt") && (!as || as === "grey")); return; }
  drawn = want;
  if (!want) { $("drawn").replaceChildren(); return; }
  drawing(want, svg => {
    if (drawn !== want) return;
    if (!svg) { $("drawn").replaceChildren(el("p", {}, "There is no such picture of this quilt.")); lay(v, false); return; }
    const shown = document.importNode(svg, true);
    shown.id = "quilt";
    shown.dataset.version = v.picture;
    shown.setAttribute("role", "img");
    $("drawn").replaceChildren(shown);
    zoom(1);
    lay(view, !as || as === "grey");
  });
}

// zoom makes the quilt larger than it would be if all of it were seen at once.
function zoom(by) {
  const q = $("quilt");
  if (!q || !$("seen").clientWidth) return; // nothing is seen of it
  larger = Math.min(8, Math.max(0.5, larger * by));
  const box = q.viewBox.baseVal;
  const room = $("seen").clientWidth - (getComputedStyle($("both")).display === "grid" ? 340 : 0);
  const fits = Math.min(room, 0.78 * innerHeight * box.width / box.height);
  $("board").style.width = Math.max(fits, 160) * larger + "px";
}

function choices(v) {
  if (!v.choices) { $("choices").replaceChildren(); return; }
  $("choices").replaceChildren(el("h3", {}, "What there is makes"), el("ul", {}, ...v.choices.map(c => {
    const at = `picture.svg?key=columns&word=${c.columns}&key=rows&word=${c.rows}&v=${v.version}`;
    const b = el("button", { type: "button", ariaPressed: String(c.chosen) }, el("img", { src: at, alt: "", loading: "lazy" }), `${c.columns} by ${c.rows}`, el("small", {}, c.says));
    b.addEventListener("click", () => tell({ do: "edit", edits: [{ path: "columns", value: String(c.columns) }, { path: "rows", value: String(c.rows) }] }));
    return el("li", {}, b);
  })), ...(v.chosen ? [el("p", {}, v.chosen)] : []));
}

let shown = ""; // of what was made
function made(v) {
  const m = v.making, now = JSON.stringify(m ?? null);
  $("make").disabled = !!m && !m.done;
  if (now === shown) return;
  shown = now;
  $("made").hidden = !m;
  if (!m) return;
  const inside = [el("h3", {}, m.done ? "Made" : "Making"), el("p", {}, m.done ? `In the folder ${m.folder}` : `into the folder ${m.folder}`)];
  if (!m.done) inside.push(el("p", {}, el("progress", { ariaLabel: "files written", max: m.far[1] || 1, value: m.far[0] }), m.far[1] ? ` ${m.far[0]} of ${m.far[1]} files` : ""));
  if (m.wrong) inside.push(el("p", { role: "alert" }, m.wrong));
  if (m.files) inside.push(el("ul", {}, ...m.files.map(f => el("li", {},
    el("a", { href: "made/" + f.name, target: "_blank", rel: "noopener" }, f.name.endsWith(".svg") ? el("img", { src: "made/" + f.name, alt: "", loading: "lazy" }) : null, f.name), ": ", f.purpose))));
  if (m.done) {
    const hide = el("button", { type: "button" }, "Hide this list"), open = el("button", { type: "button", hidden: !m.show }, "Open the folder");
    hide.addEventListener("click", () => { $("made").hidden = true; $("make").focus(); });
    open.addEventListener("click", () => tell({ do: "folder" }));
    inside.splice(2, 0, el("p", {}, open, " ", hide));
  }
  $("made").replaceChildren(...inside);
  $("made").scrollIntoView({ block: "nearest" });
}

onView(v => {
  view = v;
  const trying = v.stage === "try";
  $("begin").hidden = trying;
  $("try").hidden = !trying || !$("paper").hidden;
  $("tools").hidden = !trying;
  $("file").textContent = trying ? (v.file || "not saved yet") + (v.dirty ? ", changed" : "") : "";
  document.title = trying ? `${v.file || "new quilt"} - lozenge` : "lozenge";
  $("told").replaceChildren(...(v.told ? [v.told] : []));
  if (v.table) $("told").append(" ", el("a", { href: v.table, target: "_blank", rel: "noopener", id: "to-table" }, "Open the page for the projector"), " and move its window there.");
  if (!trying) { begin(v); return; }
  $("undo").disabled = !v.canUndo;
  $("redo").disabled = !v.canRedo;
  fields(v);
  quilt(v);
  choices(v);
  $("facts").replaceChildren(...sections(v.facts, v.colours ?? []));
  made(v);
  document.body.dataset.version = v.version;
});

onLost(is => { $("lost").hidden = !is; });

// name asks for the name of the file, and then does it.
let naming = null;
function named(action) {
  naming = action;
  $("over").hidden = true;
  tell(action, answer => {
    if (!answer.told) return;
    if (!view.file || /changed since/.test(answer.told)) {
      $("over").hidden = !view.file;
      if (view.file) $("name-of-file").value = view.file;
      $("naming").showModal();
      $("name-of-file").select();
    }
  });
}

const on = (id, act) => $(id).addEventListener("click", act);
for (const b of document.querySelectorAll("[data-unit]")) b.addEventListener("click", () => tell({ do: "new", unit: b.dataset.unit }));
on("have", () => haveStrips(true));
on("resume", () => tell({ do: "resume" }));
on("undo", () => tell({ do: "undo" }));
on("redo", () => tell({ do: "redo" }));
on("save", () => named({ do: "save" }));
on("make", () => named({ do: "make" }));
on("table", () => tell({ do: "table" }));
on("close", () => tell({ do: "close" }));
on("name-it", () => { $("naming").close(); tell({ ...naming, name: $("name-of-file").value }, v => { if (v.told) $("naming").showModal(); }); });
on("over", () => { $("naming").close(); tell({ ...naming, anyway: true }); });
on("not-now", () => $("naming").close());
$("name-of-file").addEventListener("keydown", e => { if (e.key === "Enter") $("name-it").click(); });
$("as").addEventListener("change", () => quilt(view));
on("larger", () => zoom(1.25));
on("smaller", () => zoom(0.8));
addEventListener("resize", () => zoom(1));

on("read", async () => {
  const answer = await fetch("read");
  if (!answer.ok) { $("told").textContent = "There is no quilt yet."; return; }
  const r = await answer.json();
  $("paper").querySelector("h2").textContent = r.name;
  $("plan").replaceChildren(...sections(r.plan, r.colours));
  $("sewing").replaceChildren(...sections(r.sewing, r.colours));
  $("paper").hidden = false;
  $("try").hidden = true;
  $("back").focus();
});
on("back", () => { $("paper").hidden = true; $("try").hidden = false; zoom(1); $("read").focus(); });
on("print", async () => {
  await Promise.all([...$("paper").querySelectorAll("img")].map(i => i.decode().catch(() => {})));
  print();
});

addEventListener("keydown", e => {
  if (!(e.ctrlKey || e.metaKey) || view?.stage !== "try") return;
  const key = e.key.toLowerCase();
  const act = key === "s" ? "save" : key === "y" || key === "z" && e.shiftKey ? "redo" : key === "z" ? "undo" : "";
  if (!act) return;
  e.preventDefault();
  $(act).click();
});

async function measure(file) {
  const answer = await fetch("measure?name=" + encodeURIComponent(file.name), { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: file });
  const said = answer.ok ? (await answer.json()).verdict : answer.status === 413 ? "That file is too large to be one to cut from." : "It could not be measured.";
  if (view.stage === "begin") $("verdict").textContent = said;
  else $("told").replaceChildren(el("pre", {}, said));
}
$("drawing").addEventListener("change", () => { if ($("drawing").files[0]) measure($("drawing").files[0]); });
addEventListener("dragover", e => e.preventDefault());
addEventListener("drop", e => {
  e.preventDefault();
  const file = e.dataTransfer.files[0];
  if (file) (/\.(csv|tsv|xlsx?|ods)$/i.test(file.name) ? takeTable : measure)(file);
});

listen();
