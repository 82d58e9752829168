"use strict";
// Lays out what the sums say and follows taps. Text is only ever set as text, never as markup.
(() => {
  const live = JSON.parse(document.getElementById("live").textContent);
  const byId = (id) => document.getElementById(id);
  const root = document.documentElement;
  const points = new Map(live.points.map((point) => [point.id, point]));

  function h(tag, attributes, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (value === false || value === null || value === undefined) continue;
      if (name === "onclick") node.addEventListener("click", value);
      else if (name === "pct") node.style.setProperty("--pct", `${Math.min(value, 100)}%`);
      else node.setAttribute(name, value === true ? "" : value);
    }
    node.append(...children.filter((child) => child !== null && child !== undefined));
    return node;
  }
  const name = (text) => h("bdi", {}, String(text));

  // ---- what was tapped, kept on this phone only
  const minutes = (time) => { const [hours, rest] = time.split(":"); return Number(hours) * 60 + Number(rest); };
  // The set-up that runs now, else the next one of the day; the first where no times are stated.
  function byClock(date) {
    const now = date.getHours() * 60 + date.getMinutes();
    const timed = live.setups.filter((each) => each.from && each.to);
    const runs = timed.find((each) => {
      const from = minutes(each.from), to = minutes(each.to);
      return from < to ? from <= now && now < to : from <= now || now < to;
    });
    const next = timed.filter((each) => minutes(each.from) > now).sort((a, b) => minutes(a.from) - minutes(b.from))[0];
    return (runs || next || live.setups[0]).id;
  }
  const fresh = () => ({ setup: byClock(new Date()), clock: "", off: [], taps: [], trips: [], who: "", tab: "now" });
  const store = `sheet ${document.documentElement.dataset.digest}`;
  let state = fresh();
  try {
    state = { ...state, ...JSON.parse(localStorage.getItem(store) || "{}") };
  } catch (_) { /* a phone that keeps nothing still works */ }
  // A set-up tapped by hand stays until the clock reaches another one.
  function followClock() {
    const now = byClock(new Date());
    const isStale = state.clock !== now || !live.setups.some((each) => each.id === state.setup);
    if (isStale) state = { ...state, setup: now, clock: now };
    return isStale;
  }
  followClock();
  const save = () => {
    try { localStorage.setItem(store, JSON.stringify(state)); } catch (_) { /* as above */ }
  };
  const setup = () => live.setups.find((each) => each.id === state.setup);
  const off = () => new Set(state.off);

  // ---- tabs
  const tabs = [...document.querySelectorAll("[data-tab]")];
  function show(tab) {
    if (!byId(`tab-${tab}`)) tab = "now";
    state.tab = tab;
    root.dataset.showing = tab;
    for (const button of tabs) {
      const on = button.dataset.tab === tab;
      button.setAttribute("aria-selected", on);
      button.tabIndex = on ? 0 : -1;
      byId(`tab-${button.dataset.tab}`).hidden = !on;
    }
    save();
  }
  for (const button of tabs) {
    button.addEventListener("click", () => { show(button.dataset.tab); window.scrollTo(0, 0); });
    button.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (!step) return;
      const next = tabs[(tabs.indexOf(button) + step + tabs.length) % tabs.length];
      show(next.dataset.tab);
      next.focus();
    });
  }

  // ---- light and dark
  const themeButton = byId("theme");
  const isDark = () =>
    root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  const sayTheme = () => { themeButton.textContent = isDark() ? "Light" : "Dark"; };
  try { if (localStorage.getItem("sheet theme")) root.dataset.theme = localStorage.getItem("sheet theme"); } catch (_) { /* as above */ }
  themeButton.addEventListener("click", () => {
    root.dataset.theme = isDark() ? "light" : "dark";
    try { localStorage.setItem("sheet theme", root.dataset.theme); } catch (_) { /* as above */ }
    sayTheme();
  });
  sayTheme();

  // ---- set-ups
  function pickers() {
    for (const holder of document.querySelectorAll("[data-setups]")) {
      holder.replaceChildren(...live.setups.map((each) => {
        return h("button", {
          type: "button", class: "chip", "aria-pressed": String(each.id === state.setup),
          "data-setup": each.id,
          onclick: () => { state.setup = each.id; save(); draw(); focusOn(holder, `[data-setup="${CSS.escape(each.id)}"]`); },
        }, h("strong", {}, name(each.said)), each.from ? h("small", {}, each.from) : null);
      }));
    }
    const now = setup();
    const window_ = now.from && now.to ? ` ${now.from} to ${now.to}` : "";
    for (const line of document.querySelectorAll("[data-setup-name]")) line.replaceChildren(name(now.name), window_);
    for (const route of document.querySelectorAll(".screen [data-route]"))
      route.toggleAttribute("data-shown", route.dataset.route === state.setup);
  }
  const focusOn = (holder, selector) => { const found = holder.querySelector(selector); if (found) found.focus(); };

  // ---- now
  function bar(pct) {
    return h("span", { class: "bar", "data-over": pct > 100, "data-full": pct > 90 && pct <= 100, pct, "aria-hidden": "true" }, h("span", {}));
  }
  function meter(each) {
    const over = each.against_ma > each.device.cap_ma;
    const left = over
      ? `${Sums.amps(each.against_ma - each.device.cap_ma)} A OVER`
      : `${Sums.capAmps(each.left_ma)} A left`;
    return h("div", { class: "meter", "data-over": over },
      h("span", { class: "meter-name" }, name(each.device.name)),
      h("span", { class: "meter-left" }, left),
      bar(each.pct),
      h("span", { class: "meter-sum" }, `${Sums.amps(each.against_ma)} of ${Sums.capAmps(each.device.cap_ma)} A · ${each.pct} %`));
  }
  function contractMeter(each) {
    const over = each.taken > each.cap;
    return h("div", { class: "meter", "data-over": over },
      h("span", { class: "meter-name" }, each.unit === "A" ? "contract, both legs" : "contract"),
      h("span", { class: "meter-left" }, over ? "over" : `${each.leftSaid} ${each.unit} left`),
      bar(each.pct),
      h("span", { class: "meter-sum" }, `${each.takenSaid} of ${each.capSaid} ${each.unit} · ${each.pct} %`));
  }
  function toggle(unit) {
    const key = Sums.keyOf(setup(), unit);
    const on = !state.off.includes(key);
    const at = points.get(unit.point);
    return h("button", {
      type: "button", class: "unit", "aria-pressed": String(on), "data-unit": key,
      onclick: () => {
        state.off = on ? [...state.off, key] : state.off.filter((each) => each !== key);
        save(); draw(); focusOn(byId("ways"), `[data-unit="${CSS.escape(key)}"]`);
      },
    },
      h("span", { class: "unit-state" }, on ? "on" : "off"),
      h("span", { class: "unit-outlet" }, name(at ? at.name : "wired")),
      h("span", { class: "unit-name" }, name(unit.name), unit.place ? h("small", {}, " ", name(unit.place)) : null),
      h("span", { class: "unit-amps" }, `${Sums.amps(unit.ma)} A`));
  }
  // What comes on this way when the next set-up lights.
  function nextOn(id) {
    const next = live.setups[live.setups.findIndex((each) => each.id === state.setup) + 1];
    if (!next) return null;
    const there = next.units.filter((unit) => unit.on === id)
      .map((unit) => `${points.has(unit.point) ? points.get(unit.point).name : "wired"} ${unit.name}`);
    return h("p", { class: "next" }, `Next, ${next.said}: `, name(there.join(", ") || "nothing"));
  }
  function drawNow() {
    const all = Sums.meters(live, setup(), off());
    const upstream = all.filter((each) => each.device.kind !== "circuit" && (each.current_ma > 0 || each.device.kind === "phase"));
    const contract = Sums.contract(live, setup(), off());
    byId("mains").replaceChildren(
      ...upstream.filter((each) => each.device.kind !== "rcd amps").map(meter),
      ...(contract ? [contractMeter(contract)] : []));
    const cards = [];
    const under = new Map();
    for (const unit of setup().units) under.set(unit.on, [...(under.get(unit.on) || []), unit]);
    for (const id of live.order) {
      const rows = all.filter((each) => each.device.kind === "circuit" && each.device.id === id);
      const units = under.get(id) || [];
      under.delete(id);
      if (!units.length && !rows.some((each) => each.against_ma > 0)) continue;
      cards.push(h("section", { class: "way", "aria-label": `circuit ${id}` }, ...rows.map(meter), ...units.map(toggle), nextOn(id)));
    }
    for (const [on, units] of under)
      cards.push(h("section", { class: "way unsure", "aria-label": `not known which: ${on}` },
        h("p", { class: "unsure-head" }, "Not known which: ", name(on), ". ",
          units.some((unit) => unit.anywhere) ? "In no circuit’s sum above." : "Counted on each."), ...units.map(toggle)));
    const spare = all.filter((each) => each.device.kind === "circuit" && each.against_ma === 0 && live.circuits[each.device.id].feeds_outlets);
    // What looks free may carry loads whose circuit is not known.
    if (spare.length && !setup().units.some((unit) => unit.anywhere))
      cards.push(h("p", { class: "quiet" }, "Free: ", spare.map((each) => `${each.device.name} ${Sums.capAmps(each.device.cap_ma)} A`).join(", ")));
    for (const rcd of live.rcds) {
      const ua = Sums.carried(live, setup(), off()).leakage[rcd.id];
      if (ua > rcd.guide_ua)
        cards.push(h("p", { class: "quiet" }, name(rcd.id), ` standing leakage ${Sums.amps(ua)} mA, may trip above ${Sums.capAmps(rcd.may_trip_ua)} mA`));
    }
    byId("ways").replaceChildren(...cards);
    const changed = state.off.length;
    byId("reset").hidden = !changed;
    const over = all.filter((each) => each.against_ma > each.device.cap_ma).map((each) => each.device.name);
    if (contract && contract.taken > contract.cap) over.push("the contract");
    byId("now-said").textContent = over.length
      ? `Over: ${over.join(", ")}`
      : changed ? `${changed} switched off here; not what the plan says` : "As planned";
    byId("now-said").dataset.over = over.length > 0;
  }
  byId("reset").addEventListener("click", () => { state.off = []; save(); draw(); });

  // ---- may I plug in?
  const ask = byId("ask");
  function fillAsk() {
    byId("ask-outlet").replaceChildren(...live.points.map((point) =>
      h("option", { value: point.id }, `${point.name}${point.where ? ` · ${point.where}` : ""}`)));
  }
  function fillUntil() {
    const first = live.setups.findIndex((each) => each.id === state.setup);
    const kept = byId("ask-until").value;
    byId("ask-until").replaceChildren(...live.setups.slice(first).map((each) =>
      h("option", { value: each.id, selected: each.id === kept }, `end of ${each.said}${each.to ? `, ${each.to}` : ""}`)));
  }
  // One way in a hundred more is little to pay: our own choice, as on the command line.
  const LITTLE = 0.01;
  function asked() {
    const first = live.setups.findIndex((each) => each.id === state.setup);
    const last = live.setups.findIndex((each) => each.id === byId("ask-until").value);
    return live.setups.slice(first, Math.max(first, last) + 1);
  }
  // Whether a plug may go in whatever the wiring, or hardly makes the house trip more often.
  function mayGoIn(point, ma, hours) {
    if (Sums.mayPlug(live, asked(), off(), point, ma, hours).length) return false;
    if (!Sums.mayPlug(live, asked(), off(), point, ma, hours, true).length) return true;
    return Sums.trips(live, asked(), off(), point, ma, hours) - Sums.trips(live, asked(), off()) <= LITTLE;
  }
  function sayAsk(event) {
    event.preventDefault();
    const ma = Sums.up(Number(byId("ask-amps").value.replace(",", ".")) * 1000);
    const point = points.get(byId("ask-outlet").value);
    const said = byId("ask-said");
    if (!(ma > 0) || !Number.isFinite(ma) || !point) {
      said.dataset.says = "";
      said.replaceChildren(h("p", {}, "Say how many amps, such as 8.7."));
      return;
    }
    // An open red flag comes before any answer, and no yes is a plain one, as on the command line.
    const flags = live.red_flags;
    const say = (says, ...parts) => {
      said.dataset.says = flags.length && (says === "yes" || says === "likely") ? "unsure" : says;
      said.replaceChildren(
        ...(flags.length ? [h("p", { class: "alarm" }, h("strong", {}, "NOT READY"), " while a red flag is open: ", name(flags.join("; ")), ".")] : []), ...parts);
    };
    const hours = byId("ask-hours").checked;
    const broken = Sums.mayPlug(live, asked(), off(), point, ma, hours);
    const unknown = point.circuits.length > 1 && !point.anywhere ? ` Its circuit is not known: counted on ${point.circuits.join(" and ")}.` : "";
    const unsure = broken.length ? [] : Sums.mayPlug(live, asked(), off(), point, ma, hours, true);
    if (unsure.length) {
      const now = Sums.trips(live, asked(), off()), then = Sums.trips(live, asked(), off(), point, ma, hours);
      const isLittle = then - now <= LITTLE;
      const instead = Sums.in100(then) === Sums.in100(now) ? "as without it" : `instead of ${Sums.in100(now)}`;
      say(isLittle ? "likely" : "unsure", h("p", {}, h("strong", {}, isLittle ? "YES, MOST LIKELY" : then > 0.5 ? "MOST LIKELY NOT" : "NOT SURE"),
        `. It depends on the wiring: with it something trips on ${Sums.in100(then)} ways this house could be wired, ${instead}.`,
        isLittle ? "" : ` Find out what ${point.name} is on first.`));
      return;
    }
    if (!broken.length) {
      const rows = asked().flatMap((each) => {
        const sums = Sums.carried(live, each, off());
        const more = Sums.up(ma * (hours ? live.continuous : 1));
        return point.rows.map((row) => {
          const device = live.devices[row];
          const has = device.counted ? sums.counted[row] + more : sums.current[row] + ma;
          return { device, has, pct: Sums.percent(has, device.cap_ma), setup: each.said };
        });
      }).sort((a, b) => b.pct - a.pct);
      say("yes", h("p", {}, h("strong", {}, "YES"), rows.length
        ? `. Fullest then: ${rows[0].device.name} ${Sums.amps(rows[0].has)} of ${Sums.capAmps(rows[0].device.cap_ma)} A in ${rows[0].setup}.${unknown}` : `.${unknown}`));
      return;
    }
    const elsewhere = live.points.filter((other) => other.id !== point.id && !other.last_resort &&
      mayGoIn(other, ma, hours)).slice(0, 4).map((other) => other.name);
    const spare = Sums.onlyIf(live, asked(), off(), point, ma, hours);
    const first = broken[0];
    const when = live.setups.find((each) => each.id === first.setup).said;
    const why = first.unit === "A"
      ? `${first.what} would carry ${Sums.amps(first.has)} of ${Sums.capAmps(first.limit)} A in ${when}`
      : first.unit === "W" ? `${first.what} allows ${first.limit} W, this makes ${first.has} W in ${when}` : `${first.what} in ${when}`;
    say(spare ? "if" : "no",
      h("p", {}, h("strong", {}, spare ? "ONLY IF " : "NO"), spare ? h("span", {}, name(spare.name), " is off. ") : ". ", h("span", {}, `${why}.${unknown}`)),
      elsewhere.length ? h("p", {}, "It may go in at ", name(elsewhere.join(", ")), ".") : h("p", {}, "No other outlet takes it as things stand."));
  }
  ask.addEventListener("submit", sayAsk);

  // ---- trip
  const tapped = () => {
    const found = new Map();
    for (const tap of state.taps) found.set(tap.outlet, tap.is);
    return found;
  };
  const outletsOf = (each) => {
    const used = new Map();
    for (const unit of each.units) {
      const at = points.get(unit.point);
      if (at && !off().has(Sums.keyOf(each, unit))) used.set(at.outlet, [...(used.get(at.outlet) || []), unit]);
    }
    return used;
  };
  function tap(outlet, is) {
    state.taps = [...state.taps, { outlet, is }];
    save(); drawTrip();
    focusOn(byId("tab-trip"), `[data-tap="${CSS.escape(`${outlet} ${is}`)}"]`);
  }
  function tripRow(outlet, units, is) {
    const choice = (what, words) => h("button", {
      type: "button", class: `tap tap-${what}`, "aria-pressed": String(is === what), "data-tap": `${outlet} ${what}`,
      "aria-label": `${outlet} ${words}`, onclick: () => tap(outlet, what),
    }, words);
    return h("li", { class: "trip-row", "data-is": is || "" },
      h("span", { class: "trip-name" }, h("strong", {}, name(outlet)), " ",
        h("small", {}, name([...new Set(units.map((unit) => unit.name))].join(", ") || live.outlets[outlet].where))),
      choice("dark", "dark"), choice("on", "still on"));
  }
  const rcdName = (id) => (/rcd/i.test(id) ? id : `RCD ${id}`);
  const nameOf = (group) => group.kind === "rcd" ? rcdName(group.id) :
    live.circuits[group.id].label && live.circuits[group.id].label !== group.id ? `${group.id} “${live.circuits[group.id].label}”` : group.id;
  function drawTrip() {
    const known = tapped();
    const used = outletsOf(setup());
    byId("trip-used").replaceChildren(...[...used].map(([outlet, units]) => tripRow(outlet, units, known.get(outlet))));
    const rest = live.wirings.outlets.filter((outlet) => !used.has(outlet));
    byId("trip-rest").replaceChildren(...rest.map((outlet) => tripRow(outlet, [], known.get(outlet))));
    byId("undo").disabled = !state.taps.length;
    const dark = [...known].filter(([, is]) => is === "dark").map(([outlet]) => outlet);
    const still = [...known].filter(([, is]) => is === "on").map(([outlet]) => outlet);
    const said = byId("trip-said");
    const device = byId("trip-device");
    const chosen = device.value;
    if (!dark.length) {
      said.replaceChildren(h("p", {}, still.length ? "Nothing dark yet. Tap an outlet that went out." : "Tap what is dark, then what is still on."));
      device.replaceChildren(h("option", { value: "" }, "not looked yet"));
      byId("keep").disabled = true;
      return;
    }
    const found = Sums.suspects(live, dark, still);
    const likely = found.filter((group) => group.weight > 0);
    const shown = likely.length ? likely : found;
    const parts = [];
    if (!found.length)
      parts.push(h("p", { class: "alarm" }, "No single breaker or RCD explains this with the wiring the plan knows. Look at the board; do not trust the map. More than one may be open, or the main."));
    else if (!likely.length)
      parts.push(h("p", { class: "alarm" }, "None of the likely wirings explains this; these could."));
    shown.slice(0, 3).forEach((group, n) => parts.push(suspect(group, n === 0, found.length > 1)));
    if (shown.length > 3) parts.push(h("p", {}, `and ${shown.length - 3} less likely`));
    const next = Sums.lookNext(live, found, known, [...used.keys(), ...rest]);
    if (next) parts.push(h("p", { class: "look-next" }, "Look next at ", h("strong", {}, name(next)), live.outlets[next].where ? h("small", {}, " ", name(live.outlets[next].where)) : null));
    said.replaceChildren(...parts);
    const options = found.length ? found : Object.keys(live.circuits).map((id) => ({ kind: "circuit", id }));
    device.replaceChildren(h("option", { value: "" }, "not looked yet"), ...options.map((group) =>
      h("option", { value: JSON.stringify([group.kind, group.id]) }, nameOf(group))));
    if ([...device.options].some((option) => option.value === chosen)) device.value = chosen;
    byId("keep").disabled = !device.value;
  }
  function suspect(group, first, several) {
    const known = tapped();
    const outletOf = (unit) => (points.has(unit.point) ? points.get(unit.point).outlet : "");
    const isSure = (unit) => known.get(outletOf(unit)) === "dark" || unit.circuits.length === 1;
    const may = (unit) => group.kind === "rcd" ? unit.rcds.includes(group.id) : unit.circuits.includes(group.id);
    const on = setup().units
      .filter((unit) => may(unit) && !off().has(Sums.keyOf(setup(), unit)) && known.get(outletOf(unit)) !== "on")
      .sort((a, b) => Number(isSure(b)) - Number(isSure(a)) || b.ma - a.ma);
    const said = (unit) => `${isSure(unit) ? "" : "maybe "}${unit.name} at ${points.has(unit.point) ? points.get(unit.point).name : "wired"} ${Sums.amps(unit.ma)} A`;
    const move = live.first_moves.find((each) => each.setup === state.setup && each.circuit === group.id && group.kind === "circuit");
    const way = group.kind === "circuit" ? live.circuits[group.id].way : "";
    return h("div", { class: first ? "suspect first" : "suspect" },
      h("h3", {}, name(nameOf(group)), way ? h("small", {}, ` way ${way}`) : null, several ? h("span", { class: "share" }, `fits ${group.in100} of 100 wirings`) : null),
      move ? h("p", { class: "first-move" }, h("strong", {}, move.for_room ? "Nothing of ours has to move; for room: " : "First move: "), name(move.text), move.before ? ` (${move.likely ? "likely " : ""}${move.before === move.after ? "" : `${move.before} → `}${move.after} A)` : "") : null,
      group.kind === "rcd" ? h("p", { class: "first-move" }, "Unplug everything behind it, then bring it back one plug at a time; the one that opens it stays out.") : null,
      h("p", {}, "On it: ", on.length ? name(on.map(said).join(", ")) : "nothing in this set-up"));
  }
  byId("undo").addEventListener("click", () => { state.taps = state.taps.slice(0, -1); save(); drawTrip(); });
  byId("trip-device").addEventListener("change", () => { byId("keep").disabled = !byId("trip-device").value; });
  byId("who").value = state.who;
  byId("who").addEventListener("input", () => { state.who = byId("who").value; save(); });
  const two = (number) => String(number).padStart(2, "0");
  const stamp = (date) => `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())} ${two(date.getHours())}:${two(date.getMinutes())}`;
  byId("keep").addEventListener("click", () => {
    const [kind, id] = JSON.parse(byId("trip-device").value);
    const known = [...tapped()];
    state.trips = [...state.trips, {
      kind, id, who: state.who, when: stamp(new Date()), note: `set-up ${state.setup}`,
      dark: known.filter(([, is]) => is === "dark").map(([outlet]) => outlet),
      still: known.filter(([, is]) => is === "on").map(([outlet]) => outlet),
    }];
    state.taps = [];
    save(); drawTrip(); drawKept();
    byId("save-log").focus();
  });
  function drawKept() {
    byId("kept").replaceChildren(...state.trips.map((trip, n) => h("li", {},
      `${trip.when} `, name(trip.kind === "rcd" ? rcdName(trip.id) : trip.id), ": dark ", name(trip.dark.join(", ")), trip.still.length ? h("span", {}, "; still on ", name(trip.still.join(", "))) : "",
      " ", h("button", { type: "button", class: "small", "aria-label": `take entry ${n + 1} out`, onclick: () => {
        state.trips = state.trips.filter((_, other) => other !== n); save(); drawKept(); } }, "take out"))));
    byId("save-log").disabled = !state.trips.length;
    byId("share-log").disabled = !state.trips.length;
  }
  function download(text, file) {
    const link = h("a", { href: URL.createObjectURL(new Blob([text], { type: "text/yaml" })), download: file });
    document.body.append(link);
    link.click();
    link.remove();
  }
  byId("save-log").addEventListener("click", () => download(Sums.logText(state.trips), "log.yaml"));
  const file = () => new File([Sums.logText(state.trips)], "log.yaml", { type: "text/yaml" });
  if (navigator.canShare && navigator.canShare({ files: [new File([""], "log.yaml", { type: "text/yaml" })] }))
    byId("share-log").addEventListener("click", () => { navigator.share({ files: [file()] }).catch(() => {}); });
  else byId("share-log").hidden = true;

  // ---- how old is this?
  byId("lists-too").addEventListener("change", (event) => root.toggleAttribute("data-print-lists", event.target.checked));
  byId("print").addEventListener("click", () => window.print());

  document.addEventListener("visibilitychange", () => { if (!document.hidden && followClock()) { save(); draw(); } });
  function draw() { pickers(); drawNow(); fillUntil(); drawTrip(); drawKept(); }
  fillAsk();
  root.dataset.live = "yes";
  draw();
  show(state.tab);
})();
