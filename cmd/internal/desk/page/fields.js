// SPDX-License-Identifier: Apache-2.0

// The fields of the pattern: built when there are others than before, and filled in
// whenever something changed, but for the one in which she types.

import { el } from "./make.js";
import { open as haveStrips, change as changeStrips } from "./scraps.js";
import { tell } from "./server.js";

const form = document.getElementById("fields");
let built = "";
let view = null;
let typing = null; // the field that was changed last since it was reached

form.addEventListener("submit", e => e.preventDefault());
form.addEventListener("focusin", () => { typing = null; });

// set changes one value; what is typed on is one step with it.
function set(path, value, from) {
  const more = typing === from;
  typing = from;
  tell({ do: "edit", edits: [{ path, value: value.trim() }], more });
}

function edit(...edits) {
  typing = null;
  tell({ do: "edit", edits });
}

const id = path => "f-" + path.replace(/[^A-Za-z0-9_-]/g, c => "." + c.charCodeAt(0).toString(16));

function problem(path) { return el("p", { className: "wide", id: "w-" + id(path), hidden: true, role: "alert" }); }

function input(path, props = {}) {
  const i = el("input", { type: "text", id: id(path), name: path, spellcheck: false, autocapitalize: "off", ...props });
  i.addEventListener("input", () => set(path, i.value, i));
  return i;
}

function choose(path, words, usual, say = w => w.replace("-", " ")) {
  const s = el("select", { id: id(path), name: path }, ...words.map(w => el("option", { value: w }, say(w))));
  s.addEventListener("change", () => edit({ path, value: usual !== undefined && s.value === usual ? "" : s.value }));
  return s;
}

const button = (label, name, act) => {
  const b = el("button", { type: "button", ariaLabel: name ?? label }, label);
  b.addEventListener("click", act);
  return b;
};

const labelled = (path, label, control) => el("label", { htmlFor: id(path) }, label, " ", control);

function field(f) {
  const label = el("label", { htmlFor: id(f.path) }, f.label);
  const help = f.help ? el("p", { className: "wide help" }, f.help) : null;
  const parts = control => el("div", { className: "field" }, label, control, problem(f.path), help);
  switch (f.kind) {
    case "words": return parts(choose(f.path, f.words, f.path === "unit" ? undefined : f.words[0]));
    case "note": {
      const t = el("textarea", { id: id(f.path), name: f.path, rows: 3 });
      t.addEventListener("input", () => set(f.path, t.value.replace(/\s*\n\s*/g, " "), t));
      return parts(t);
    }
    case "table": return el("div", {}, parts(choose(f.path, [...new Set(["", ...view.tables, view.values[f.path] ?? ""])], "", w => w || "none")), el("button", { type: "button", "data-table": f.path, onclick: () => usedTable(f.path) ? changeStrips(usedTable(f.path)) : haveStrips(false) }));
    case "pictures": return pictures(f);
    case "layouts": return layouts(f);
    case "strips": return strips(f);
    case "fabrics": return fabrics(f);
    case "borders": return borders(f);
  }
  return parts(input(f.path, { placeholder: f.example ? "such as " + f.example : "" }));
}

// count returns how many things a list has.
function count(path) {
  let n = 0;
  while (view.order.includes(`${path}[${n}]`)) n++;
  return n;
}

const keys = path => view.order.filter(p => p.startsWith(path + ".") && !/[.[]/.test(p.slice(path.length + 1))).map(p => p.slice(path.length + 1));

function group(f, ...inside) {
  return el("fieldset", {}, el("legend", {}, f.label), problem(f.path), ...inside, f.help ? el("p", { className: "help" }, f.help) : null);
}

const cloths = () => [...new Set([...keys("fabrics"), ...view.order.filter(p => /\.fabric$/.test(p)).map(p => view.values[p]).filter(Boolean)])];

// own takes away a layout of her own where a setting is chosen: only one of them holds.
const own = path => path === "setting" && view.order.includes("layout") ? [{ path: "layout", remove: true }] : [];

function pictures(f) {
  const box = el("div", { className: "pictures", role: "radiogroup", ariaLabel: f.label });
  for (const word of f.words) {
    const radio = el("input", { type: "radio", name: f.path, value: word });
    radio.addEventListener("change", () => edit(...own(f.path), { path: f.path, value: word === f.words[0] ? "" : word }));
    box.append(el("label", {}, el("img", { alt: "", loading: "lazy", "data-key": f.path, "data-word": word }), el("span", {}, radio, " ", word)));
  }
  return group(f, box);
}

// layouts are those to begin with, each as this quilt would look in it.
function layouts(f) {
  return group(f, el("details", { "data-title": "layouts" }, el("summary", {}, "Others to begin with"),
    el("div", { className: "pictures" }, ...f.words.map(name => {
      const b = el("button", { type: "button", "data-layout": name }, el("img", { alt: "", loading: "lazy", "data-key": f.path, "data-word": name }), name.replaceAll("-", " "));
      b.addEventListener("click", () => { typing = null; tell({ do: "lay", name }); });
      return b;
    }))));
}

function strips(f) {
  const rows = [];
  const n = count("strips");
  for (let i = 0; i < n; i++) {
    const at = `strips[${i}]`;
    rows.push(el("div", { className: "row" },
      labelled(at + ".cut", `strip ${i + 1}, cut`, input(at + ".cut")),
      labelled(at + ".fabric", "fabric", input(at + ".fabric", { list: "cloths" })),
      n > 1 ? button("Remove", `Remove strip ${i + 1}`, () => edit({ path: at, remove: true })) : null,
      problem(at + ".cut"), problem(at + ".fabric"), problem(at)));
  }
  const last = `strips[${n - 1}]`;
  return group(f, ...rows,
    button("Add a strip", undefined, () => edit({ path: "strips", item: [["cut", view.values[last + ".cut"] ?? "2 1/2"], ["fabric", view.values[last + ".fabric"] ?? "fabric"]] })),
    el("datalist", { id: "cloths" }, ...cloths().map(c => el("option", { value: c }))));
}

function borders(f) {
  const rows = [];
  const n = count("borders");
  for (let i = 0; i < n; i++) {
    const at = `borders[${i}]`;
    rows.push(el("div", { className: "row" },
      labelled(at + ".cut", `border ${i + 1}, cut`, input(at + ".cut")),
      labelled(at + ".fabric", "fabric", input(at + ".fabric", { list: "cloths" })),
      labelled(at + ".corners", "corners", choose(at + ".corners", ["butted", "mitred"], "butted")),
      button("Remove", `Remove border ${i + 1}`, () => edit({ path: at, remove: true })),
      problem(at + ".cut"), problem(at + ".fabric"), problem(at)));
  }
  const cut = /cut: ([^,}]+)/.exec(f.example ?? "")?.[1] ?? "3 1/2";
  return group(f, ...rows, button("Add a border", undefined, () => edit({ path: "borders", item: [["cut", cut], ["fabric", cloths()[0] ?? "border"]] })));
}

// named says whether a colour has a name of its own: its code then stands a step deeper.
const codeAt = at => view.order.includes(at + ".color") ? at + ".color" : at;

function colour(at, i, n, only) {
  const code = codeAt(at);
  const c = el("input", { type: "color", id: id(at), "data-colour": code });
  c.addEventListener("change", () => edit({ path: code, value: c.value }));
  const name = el("input", { type: "text", id: id(at + ".name"), "data-name": at, spellcheck: false });
  name.addEventListener("change", () => {
    const value = name.value.trim();
    if (code !== at) edit(value ? { path: at + ".name", value } : { path: at + ".name", remove: true });
    else if (value) edit({ path: at, item: [["name", value], ["color", view.values[at]]], put: true });
  });
  return el("div", { className: "row" }, labelled(at, `colour ${i + 1}`, c), labelled(at + ".name", "name", name),
    only ? null : button("Remove", `Remove colour ${i + 1}`, () => edit({ path: at, remove: true })), problem(at), problem(at + ".name"), problem(at + ".color"));
}

function fabrics(f) {
  const out = [];
  for (const key of keys("fabrics")) {
    const at = `fabrics.${key}`, list = at + ".colors";
    const n = count(list), colours = [];
    for (let i = 0; i < n; i++) colours.push(colour(`${list}[${i}]`, i, n, n === 1));
    if (n === 0 && view.order.includes(list)) colours.push(colour(list, 0, 1, true));
    const path = at + ".from";
    out.push(el("fieldset", {}, el("legend", {}, key),
      el("div", { className: "field" }, el("label", { htmlFor: id(at + ".name") }, "name"), input(at + ".name", { placeholder: key }), problem(at + ".name")),
      el("div", { className: "field" }, el("label", { htmlFor: id(path) }, "from"), choose(path, ["yardage", "fat-quarters", "strips"], "yardage"), problem(path)),
      el("div", { className: "field" }, el("label", { htmlFor: id(at + ".strip_length") }, "strip length"), input(at + ".strip_length"), problem(at + ".strip_length")),
      ...colours, problem(list), problem(at),
      button("Add a colour", `Add a colour to ${key}`, () => edit({ path: list, item: [["", view.looks[codeAt(`${list}[${n - 1}]`)] ?? view.looks[list] ?? "#888888"]] }))));
  }
  const fresh = el("input", { type: "text", id: "fresh-fabric", spellcheck: false });
  out.push(el("div", { className: "row" }, el("label", { htmlFor: "fresh-fabric" }, "another fabric ", fresh),
    button("Add it", undefined, () => {
      const key = fresh.value.trim().replace(/[^A-Za-z0-9_-]+/g, "-").slice(0, 40);
      if (key) edit({ path: `fabrics.${key}.name`, value: fresh.value.trim() });
    })));
  return group(f, ...out);
}

// How the size is told, and what each way needs.
const ways = [
  ["columns and rows", ["columns", "rows"]],
  ["a size to cover", ["finish.width", "finish.height"]],
  ["so many strip sets", ["strip_sets"]],
  ["a table of scraps", ["scraps"]],
];

const way = () => view.order.includes("scraps") ? 3 : view.order.includes("strip_sets") ? 2 : view.order.includes("finish") ? 1 : 0;

function sizes(g) {
  const s = el("select", { id: "size-by" }, ...ways.map(([name], i) => el("option", { value: i }, name)));
  s.addEventListener("change", () => {
    const size = view.size ?? { columns: 8, rows: 10, width: "36", height: "45", stripSets: 12 };
    const away = ["columns", "rows", "finish", "strip_sets", "scraps"].filter(p => view.order.includes(p)).map(path => ({ path, remove: true }));
    const [, keys] = ways[s.value];
    const values = { columns: String(size.columns), rows: String(size.rows), "finish.width": size.width, "finish.height": size.height, strip_sets: String(size.stripSets || 12), scraps: view.tables[0] ?? "my-scraps.csv" };
    edit(...away, ...keys.map(path => ({ path, value: values[path] })));
  });
  const needed = new Set([...ways[way()][1], "spare", ...(way() > 1 ? ["columns", "rows"] : [])]);
  return [el("div", { className: "field" }, el("label", { htmlFor: "size-by" }, "told by"), s, problem("size")), ...g.fields.filter(f => needed.has(f.path)).map(field)];
}

function build() {
  const open = new Set([...form.querySelectorAll("details[open]")].map(d => d.dataset.title));
  form.replaceChildren(el("div", { id: "others" }));
  view.groups.forEach((g, i) => {
    const d = el("details", { open: built === "" ? i < 3 : open.has(g.title), "data-title": g.title }, el("summary", {}, g.title),
      ...(g.fields[0].path === "columns" ? sizes(g) : g.fields.map(field)));
    form.append(d);
  });
  for (const d of form.querySelectorAll("fieldset details")) d.open = open.has(d.dataset.title);
  const whole = el("textarea", { id: "whole", spellcheck: false, ariaLabel: "the file as text" });
  whole.addEventListener("change", () => { typing = null; tell({ do: "text", text: whole.value }); });
  form.append(el("details", { "data-title": "text", open: open.has("text") }, el("summary", {}, "The file itself"), whole, problem("text")));
}

// small shows the small pictures anew, once she is no longer typing.
let later = 0;
function small() {
  for (const e of form.querySelectorAll("img[data-key]")) {
    const at = view.pictures?.find(p => p.key === e.dataset.key && p.word === e.dataset.word)?.at;
    const src = at ? `${at}&v=${view.picture}` : "";
    e.hidden = !at;
    if (at && e.getAttribute("src") !== src) e.setAttribute("src", src);
  }
}

const usedTable = path => view.tables.find(t => t === view.values[path]);

function fill() {
  for (const e of form.querySelectorAll("[data-table]")) e.textContent = usedTable(e.dataset.table) ? "Change its lines" : "Type a table";
  for (const e of form.querySelectorAll("[name]")) {
    const value = view.values[e.name] ?? "";
    if (e.type === "radio") e.checked = own(e.name).length === 0 && e.value === (value || view.groups.flatMap(g => g.fields).find(f => f.path === e.name).words[0]);
    else if (e.tagName === "SELECT") e.value = value || e.options[0].value;
    else if (e !== document.activeElement || typing !== e) e.value = value;
  }
  for (const e of form.querySelectorAll("[data-colour]")) e.value = view.looks[e.dataset.colour] ?? "#888888";
  for (const e of form.querySelectorAll("[data-name]")) if (e !== document.activeElement) e.value = view.values[e.dataset.name + ".name"] ?? "";
  for (const e of form.querySelectorAll("[data-layout]")) e.setAttribute("aria-pressed", String(view.lay?.name === e.dataset.layout));
  clearTimeout(later);
  later = setTimeout(small, 600);
  const by = document.getElementById("size-by");
  if (by) by.value = way();
  const whole = document.getElementById("whole");
  if (whole !== document.activeElement) whole.value = view.text;
}

// fieldOf is the field that shows what is wrong at a place: its own, one within it, or
// the one around it; "" for none.
function fieldOf(place) {
  for (let path = place; path; path = path.replace(/(\.[^.[]*|\[\d+\])$|^[^.[]*$/, "")) {
    if (document.getElementById("w-" + id(path))) return path;
    const within = form.querySelector(`[name^="${path}."]`);
    if (within) return within.name;
  }
  return ways.some(([, keys]) => keys.some(key => key === place || key.startsWith(place + "."))) || /^finish/.test(place) ? "size" : "";
}

// beside writes each problem beside its field, and those of no field at the top.
function beside() {
  for (const p of form.querySelectorAll("[role=alert]")) { p.hidden = true; p.replaceChildren(); }
  for (const e of form.querySelectorAll("[aria-invalid]")) { e.removeAttribute("aria-invalid"); e.removeAttribute("aria-describedby"); }
  const others = [];
  for (const p of view.problems ?? []) {
    const path = fieldOf(p.path), home = path && document.getElementById("w-" + id(path));
    const said = [p.message, p.hint].filter(Boolean).join("; ");
    if (!home) { others.push(p.line ? `Line ${p.line}: ${said}` : said); continue; }
    home.hidden = false;
    home.append(el("span", {}, said + " "));
    home.closest("details").open = true;
    const e = document.getElementById(id(path));
    e?.setAttribute("aria-invalid", "true");
    e?.setAttribute("aria-describedby", home.id);
  }
  document.getElementById("others").replaceChildren(...others.map(o => el("p", { role: "alert" }, o)), ...(view.noticed ?? []).map(n => el("p", {}, n)));
  if (others.length) form.querySelector("[data-title=text]").open = true;
}

// show shows the fields of a view.
export function show(v) {
  view = v;
  const shape = JSON.stringify([v.groups, v.tables, way(), v.order.filter(p => /^(strips|borders|fabrics)/.test(p) && !/\.(name|from|strip_length|cut|fabric|corners)$/.test(p))]);
  if (shape !== built) {
    const at = document.activeElement?.id;
    build();
    built = shape;
    if (at && document.activeElement === document.body) document.getElementById(at)?.focus();
  }
  fill();
  beside();
}
