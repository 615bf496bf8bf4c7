// SPDX-License-Identifier: Apache-2.0

// Makes elements: their properties, and what stands in them.

export function el(name, props = {}, ...inside) {
  const e = document.createElement(name);
  for (const [key, value] of Object.entries(props)) {
    if (value === undefined || value === false) continue;
    if (key in e && key !== "list") e[key] = value;
    else e.setAttribute(key, value === true ? "" : value);
  }
  e.append(...inside.filter(i => i !== null && i !== undefined));
  return e;
}

// word is where a name stands by itself in a text, -1 for nowhere.
function word(text, name) {
  const letter = /[\p{L}\p{N}]/u;
  let at = text.indexOf(name);
  while (at >= 0 && (letter.test(text[at - 1] ?? "") || letter.test(text[at + name.length] ?? ""))) at = text.indexOf(name, at + 1);
  return at;
}

// swatched returns a text with a swatch before each name of a colour.
export function swatched(text, colours) {
  const out = [];
  let rest = text;
  while (rest) {
    let first = null;
    for (const [name, code] of colours) {
      const at = word(rest, name);
      if (at >= 0 && (!first || at < first.at || at === first.at && name.length > first.name.length)) first = { at, name, code };
    }
    if (!first) break;
    const box = el("span", { className: "swatch", ariaHidden: "true" });
    box.style.background = first.code;
    out.push(rest.slice(0, first.at), box, first.name);
    rest = rest.slice(first.at + first.name.length);
  }
  return [...out, rest];
}

// sections returns headings and what stands below them: what has a lead in two
// columns, the rest as a list.
export function sections(all, colours, heading = "h3") {
  const out = [];
  for (const { title, rows, drawings } of all ?? []) {
    out.push(el(heading, {}, title));
    for (const [lead, said] of rows ?? []) {
      const bullet = lead === "-";
      const kind = bullet ? "UL" : lead || out.at(-1).tagName === "DL" ? "DL" : "P";
      if (out.at(-1).tagName !== kind) out.push(el(kind));
      const list = out.at(-1);
      if (lead && !bullet) list.append(el("dt", {}, ...swatched(lead, colours)));
      if (kind === "P") list.append(...swatched(said, colours), " ");
      else list.append(el(bullet ? "li" : "dd", {}, ...swatched(said, colours)));
    }
    for (const d of drawings ?? []) out.push(el("figure", {}, el("img", { src: d.at, alt: d.title }), el("figcaption", {}, d.title)));
  }
  return out;
}
