"use strict";
// A form made from the list of fields; what it saves is a job file. Text is only ever set as text.
(() => {
  const spec = JSON.parse(document.getElementById("spec").textContent);
  const byId = (id) => document.getElementById(id);
  const root = document.documentElement;
  const store = `recce ${spec.region}`;
  const fresh = () => ({ one: {}, rows: {}, flags: [] });
  let state = fresh();
  try { state = { ...fresh(), ...JSON.parse(localStorage.getItem(store) || "{}") }; } catch (_) { /* keeps nothing, still works */ }
  const keep = () => { try { localStorage.setItem(store, JSON.stringify(state)); } catch (_) { /* as above */ } };

  function h(tag, attributes, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (value === false || value === null || value === undefined) continue;
      if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
      else if (name === "value" || name === "checked") node[name] = value;
      else node.setAttribute(name, value === true ? "" : value);
    }
    node.append(...children.filter((child) => child !== null && child !== undefined));
    return node;
  }
  const rows = (key) => (state.rows[key] ||= []);
  const idsOf = (key) => rows(key).map((row) => (row[""] || "").trim()).filter(Boolean);
  const places = () => [...new Set([...idsOf("places"), ...idsOf("rooms"), ...idsOf("outlets")])];

  function options(select, names, value) {
    const all = value && !names.includes(value) ? [...names, value] : names;
    select.replaceChildren(h("option", { value: "" }, "–"), ...all.map((name) => h("option", { value: name }, name)));
    select.value = value || "";
  }
  const pickers = [];
  function picker(names, entry, key, label) {
    const select = h("select", { class: "field", "aria-label": label, onchange: () => { entry[key] = select.value; keep(); } });
    pickers.push(() => { if (select.isConnected) options(select, names(), entry[key]); });
    options(select, names(), entry[key]);
    return select;
  }
  const refresh = () => { for (const each of pickers) each(); };

  function input(field, entry, label) {
    const numeric = ["number", "count"].includes(field.kind);
    return h("input", {
      class: "field", type: field.kind === "time" ? "time" : "text", "aria-label": label, value: entry[field.key] || "",
      inputmode: numeric ? "decimal" : field.kind === "at" ? "text" : null, maxlength: field.kind === "note" ? 190 : 300,
      placeholder: field.kind === "at" ? "3.5, 2" : null,
      oninput: (event) => { entry[field.key] = event.target.value; keep(); },
      onchange: refresh,
    });
  }
  function control(field, entry) {
    if (field.kind === "tick")
      return h("label", { class: "tick" }, h("input", { type: "checkbox", checked: Boolean(entry[field.key]), onchange: (event) => { entry[field.key] = event.target.checked; keep(); } }), field.label);
    if (field.kind === "heads") return headsOf(field, entry);
    if (field.kind === "on") return othersOf(field, entry);
    const inner = field.kind === "choice" ? picker(() => field.choices, entry, field.key, field.label)
      : field.kind === "from" ? picker(() => idsOf(field.choices[0]), entry, field.key, field.label)
      : input(field, entry, field.label);
    return h("label", { class: field.kind === "note" || field.key === "title" ? "wide" : null }, field.label, inner);
  }
  function headsOf(field, entry) {
    const lit = (entry[field.key] ||= []);
    const box = h("fieldset", {}, h("legend", {}, field.label));
    const list = h("div", {});
    const drawRows = () => list.replaceChildren(...lit.map((each, n) => h("div", { class: "sub" },
      picker(() => idsOf("heads"), each, "head", `head ${n + 1}`), picker(places, each, "place", `place of head ${n + 1}`),
      h("input", { class: "field", inputmode: "numeric", "aria-label": `how many of head ${n + 1}`, value: each.count || "1", oninput: (event) => { each.count = event.target.value; keep(); } }),
      h("button", { type: "button", class: "small", "aria-label": `take head ${n + 1} out`, onclick: () => { lit.splice(n, 1); keep(); drawRows(); } }, "×"))));
    drawRows();
    box.append(list, h("button", { type: "button", class: "small", "data-add": "lit", onclick: () => { lit.push({ count: "1" }); keep(); drawRows(); } }, "Add a head"));
    return box;
  }
  function othersOf(field, entry) {
    const on = (entry[field.key] ||= []);
    const box = h("fieldset", {}, h("legend", {}, field.label));
    const fill = () => {
      const names = field.choices.flatMap(idsOf);
      box.replaceChildren(box.firstChild, ...(names.length ? names.map((name) => h("label", { class: "tick" },
        h("input", { type: "checkbox", checked: on.includes(name), onchange: (event) => {
          const at = on.indexOf(name);
          if (event.target.checked && at < 0) on.push(name);
          if (!event.target.checked && at >= 0) on.splice(at, 1);
          keep();
        } }), name)) : [h("p", { class: "quiet" }, "Nothing named above yet.")]));
    };
    fill();
    pickers.push(() => { if (box.isConnected) fill(); });
    return box;
  }
  function nextId(section) {
    const taken = idsOf(section.key);
    if (!section.first_id) return "";
    let number = taken.length + 1;
    while (taken.includes(`${section.first_id}${number}`)) number += 1;
    return `${section.first_id}${number}`;
  }
  function rowOf(section, entry, list, redraw) {
    const number = list.indexOf(entry) + 1;
    const id = section.many === "named"
      ? h("label", {}, section.name, input({ key: "", kind: "text" }, entry, `${section.name} ${number}`)) : null;
    return h("li", {}, h("div", { class: "row" }, h("strong", {}, `${section.name} ${number}`),
      h("button", { type: "button", class: "small", "aria-label": `take ${section.name} ${number} out`, onclick: () => { list.splice(list.indexOf(entry), 1); keep(); redraw(); refresh(); } }, "take out")),
      h("div", { class: "grid" }, id, ...section.fields.map((field) => control(field, entry))));
  }
  function sectionOf(section) {
    const head = h("h2", {}, section.title);
    const body = h("details", { open: section.many === "one", "data-section": section.key || "top" }, h("summary", {}, head), section.hint ? h("p", { class: "quiet" }, section.hint) : null);
    if (section.many === "one") {
      const entry = (state.one[section.key] ||= {});
      body.append(h("div", { class: "grid" }, ...section.fields.map((field) => control(field, entry))));
      return body;
    }
    const list = rows(section.key);
    const holder = h("ol", { class: "rows" });
    const redraw = () => holder.replaceChildren(...list.map((entry) => rowOf(section, entry, list, redraw)));
    redraw();
    body.append(holder, h("button", { type: "button", class: "plain", "data-add": section.key, onclick: () => {
      const entry = { "": nextId(section) };
      for (const field of section.fields) if (field.usual) entry[field.key] = field.key === "id" ? `SU${list.length + 1}` : field.usual;
      list.push(entry); keep(); redraw(); refresh();
      const first = holder.lastChild.querySelector("input, select");
      if (first) first.focus();
    } }, `Add: ${section.name}`));
    return body;
  }

  // ---- to a job file
  const number = (text) => { const value = Number(String(text).trim().replace(",", ".")); return String(text).trim() && Number.isFinite(value) ? value : null; };
  function valueOf(field, entry) {
    const raw = entry[field.key];
    if (field.kind === "tick") return raw ? true : null;
    if (raw === undefined || raw === null || raw === "") return null;
    // Nobody reads watts to the thousandth: left as it was typed, `plan` asks what was meant.
    const isThousands = /_(w|va)$/.test(field.key) && /^\s*[1-9]\d{0,2}([.,]\d{3})+\s*$/.test(String(raw));
    if (field.kind === "number") return (isThousands ? null : number(raw)) ?? String(raw);
    if (field.kind === "count") { const value = number(raw); return value !== null && Number.isInteger(value) ? value : String(raw); }
    if (field.kind === "at") {
      const parts = String(raw).trim().split(/[;\s]+/).map((part) => part.replace(/,$/, "")).filter(Boolean);
      const [x, y, ...more] = (parts.length > 1 ? parts : String(raw).split(",")).map(number);
      return [x, y].every((each) => typeof each === "number") && !more.length ? [x, y] : String(raw);
    }
    if (field.kind === "heads") {
      const found = new Map();
      for (const { head, place, count } of raw) {
        if (!head || !place) continue;
        const there = found.get(head) || new Map();
        there.set(place, (there.get(place) || 0) + (number(count) ?? 1));
        found.set(head, there);
      }
      return found.size ? found : null;
    }
    if (field.kind === "on") return raw.length ? [...raw] : null;
    return String(raw).trim() || null;
  }
  function put(target, path, value) {
    const [first, ...rest] = path.split(".");
    if (!rest.length) { target.set(first, value); return; }
    if (!target.has(first)) target.set(first, new Map());
    put(target.get(first), rest.join("."), value);
  }
  function entryOf(section, entry, notes) {
    const found = new Map();
    for (const field of section.fields) {
      const value = valueOf(field, entry);
      if (value === null) continue;
      if (field.kind === "note") notes.push(`${field.label}: ${value}`);
      else put(found, field.key, value);
    }
    return found;
  }
  function job() {
    const notes = [];
    const found = new Map([["region", spec.region]]);
    if (state.flags.length) found.set("red_flags", [...state.flags]);
    for (const section of spec.sections) {
      if (section.many === "one") {
        const entry = entryOf(section, state.one[section.key] || {}, notes);
        if (section.key) { if (entry.size) found.set(section.key, entry); }
        else for (const [key, value] of entry) found.set(key, value);
      } else if (section.many === "named") {
        const named = new Map();
        for (const row of rows(section.key)) if ((row[""] || "").trim()) named.set(row[""].trim(), entryOf(section, row, notes));
        if (named.size) found.set(section.key, named);
      } else {
        const list = rows(section.key).map((row) => entryOf(section, row, notes)).filter((entry) => entry.size);
        if (list.length) found.set(section.key, list);
      }
    }
    if (notes.length) found.set("note", notes.join("\n").slice(0, 1990));
    return found;
  }
  // Quoted text and plain numbers read the same in YAML as in JSON.
  function flow(value) {
    if (value instanceof Map) return `{${[...value].map(([key, each]) => `${JSON.stringify(key)}: ${flow(each)}`).join(", ")}}`;
    if (Array.isArray(value)) return `[${value.map(flow).join(", ")}]`;
    return JSON.stringify(value);
  }
  function yaml(found) {
    const lines = ["# Filled in on a recce."];
    for (const [key, value] of found) {
      if (value instanceof Map && [...value.values()].every((each) => each instanceof Map)) {
        lines.push(`${key}:`, ...[...value].map(([id, each]) => `  ${JSON.stringify(id)}: ${flow(each)}`));
      } else if (Array.isArray(value) && value.every((each) => each instanceof Map)) {
        lines.push(`${key}:`, ...value.map((each) => `  - ${flow(each)}`));
      } else lines.push(`${key}: ${flow(value)}`);
    }
    return `${lines.join("\n")}\n`;
  }
  function missing() {
    const found = [];
    for (const [key, words] of [["circuits", "no way of the board"], ["outlets", "no outlet"], ["setups", "no set-up"]])
      if (!rows(key).length) found.push(`${words} yet`);
    if (!valueOf({ key: "limit_a", kind: "number" }, state.one.supply || {})) found.push("service fuse or main breaker not read: the tool assumes the usual one");
    for (const section of spec.sections.filter((each) => each.many === "named")) {
      const ids = idsOf(section.key);
      const twice = ids.filter((id, n) => ids.indexOf(id) !== n);
      if (twice.length) found.push(`${section.title}: ${[...new Set(twice)].join(", ")} given twice; the later one is saved`);
      if (ids.length < rows(section.key).length) found.push(`${section.title}: an entry without a name is left out`);
    }
    for (const section of spec.sections.filter((each) => each.many !== "one"))
      for (const row of rows(section.key))
        for (const field of section.fields)
          if (["number", "count", "at"].includes(field.kind) && typeof valueOf(field, row) === "string") found.push(`${section.title}: “${row[field.key]}” is no ${field.kind === "at" ? "position such as 3.5, 2" : "number"} (${field.label})`);
    return found;
  }
  function said() { byId("missing").replaceChildren(...missing().map((text) => h("li", {}, text))); }
  byId("save").addEventListener("click", () => {
    said();
    const link = h("a", { href: URL.createObjectURL(new Blob([yaml(job())], { type: "text/yaml" })), download: "job.yaml" });
    document.body.append(link); link.click(); link.remove();
  });
  const file = () => new File([yaml(job())], "job.yaml", { type: "text/yaml" });
  if (navigator.canShare && navigator.canShare({ files: [new File([""], "job.yaml", { type: "text/yaml" })] }))
    byId("share").addEventListener("click", () => { said(); navigator.share({ files: [file()] }).catch(() => {}); });
  else byId("share").hidden = true;
  byId("print").addEventListener("click", () => window.print());
  byId("clear").addEventListener("click", () => { if (confirm("Throw away everything filled in?")) { state = fresh(); keep(); draw(); } });

  const isDark = () => root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  const sayTheme = () => { byId("theme").textContent = isDark() ? "Light" : "Dark"; };
  byId("theme").addEventListener("click", () => { root.dataset.theme = isDark() ? "light" : "dark"; sayTheme(); });

  function flagged() { byId("flags-said").textContent = state.flags.length ? "A licensed electrician looks before anything is plugged in." : ""; }
  function draw() {
    pickers.length = 0;
    byId("form").replaceChildren(...spec.sections.map(sectionOf));
    byId("flags").replaceChildren(...spec.flags.map((flag) => h("label", { class: "tick" }, h("input", { type: "checkbox", checked: state.flags.includes(flag), onchange: (event) => {
      state.flags = event.target.checked ? [...state.flags, flag] : state.flags.filter((each) => each !== flag);
      keep(); flagged();
    } }), flag)));
    flagged();
  }
  byId("form").addEventListener("submit", (event) => event.preventDefault());
  root.dataset.live = "yes";
  sayTheme();
  draw();
})();
