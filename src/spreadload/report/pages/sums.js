"use strict";
// Sums and limits in whole milliamps, as the tool reckons them: demand up, capacity down.
const Sums = (() => {
  const NOISE = 1e5;
  const up = (value) => Math.ceil(Math.round(value * NOISE) / NOISE);
  const percent = (demand, capacity) => Math.ceil((100 * demand) / Math.max(capacity, 1));
  const amps = (ma) => (Math.ceil(ma / 100) / 10).toFixed(1);
  const capAmps = (ma) => (Math.floor(ma / 100) / 10).toFixed(1);
  const keyOf = (setup, unit) =>
    JSON.stringify([setup.id, unit.load, unit.unit, unit.place, unit.point]);

  // Where a unit or a plug counts: where it is sure, or at worst on everything it might be on.
  const rowsOf = (thing, worst) => (worst && thing.anywhere ? thing.anywhere : thing.rows);

  // Sums of everything that is on, per device, RCD and plate of one set-up.
  function carried(live, setup, off, worst = false) {
    const found = {
      current: live.devices.map(() => 0),
      counted: live.devices.map(() => 0),
      leakage: Object.fromEntries(live.rcds.map((rcd) => [rcd.id, 0])),
      plate: {},
      socket: {},
      ofContract: 0,
    };
    for (const unit of setup.units) {
      if (off.has(keyOf(setup, unit))) continue;
      for (const row of rowsOf(unit, worst)) {
        found.current[row] += unit.ma;
        found.counted[row] += unit.counted_ma;
      }
      for (const rcd of unit.rcds) if (rcd in found.leakage) found.leakage[rcd] += unit.ua;
      found.plate[unit.point] = (found.plate[unit.point] || 0) + unit.ma;
      const seat = `${unit.point}#${unit.socket}`;
      found.socket[seat] = (found.socket[seat] || 0) + unit.ma;
      found.ofContract += unit.of_contract;
    }
    return found;
  }

  function meters(live, setup, off) {
    const sums = carried(live, setup, off);
    return live.devices.map((device, row) => {
      const against = device.counted ? sums.counted[row] : sums.current[row];
      return {
        device, row,
        current_ma: sums.current[row],
        against_ma: against,
        left_ma: Math.max(device.cap_ma - against, 0),
        pct: percent(against, device.cap_ma),
      };
    });
  }

  // What everything on takes of the supply contract, in W or in mA of both legs; null without one.
  function contract(live, setup, off) {
    if (live.contract === null) return null;
    const { cap, unit } = live.contract;
    const taken = carried(live, setup, off).ofContract;
    const [said, room] = unit === "A" ? [amps, capAmps] : [String, String];
    return {
      unit, taken, cap,
      pct: percent(taken, cap),
      takenSaid: said(taken), capSaid: room(cap), leftSaid: room(Math.max(cap - taken, 0)),
    };
  }

  // Sockets of a point that nothing is in, as the set-up stands.
  function freeSockets(setup, point, off) {
    const used = new Set();
    for (const unit of setup.units)
      if (unit.point === point.id && !off.has(keyOf(setup, unit))) used.add(unit.socket);
    const boxes = new Set();
    for (const unit of setup.units)
      if (unit.point.startsWith(`${point.outlet}/`) && !off.has(keyOf(setup, unit)))
        boxes.add(unit.point.split("/")[1]);
    return point.sockets - used.size - (point.box ? 0 : boxes.size);
  }

  // What one more plug would break in one set-up; nothing when it may go in.
  function breaks(live, setup, off, point, ma, runsForHours, worst) {
    const sums = carried(live, setup, off, worst);
    const factor = runsForHours ? live.continuous : 1;
    const counted = up(ma * factor);
    const found = [];
    const over = (what, has, limit, unit = "A") => {
      if (has > limit) found.push({ what, has, limit, unit });
    };
    if (point.off_limits) found.push({ what: `${point.name} is off limits`, has: 0, limit: 0, unit: "" });
    if (freeSockets(setup, point, off) < 1)
      found.push({ what: `no socket is free at ${point.name}`, has: 0, limit: 0, unit: "" });
    for (const row of rowsOf(point, worst)) {
      const device = live.devices[row];
      const has = device.counted ? sums.counted[row] + counted : sums.current[row] + ma;
      over(device.name, has, device.cap_ma);
    }
    over(`one socket at ${point.name}`, ma, point.socket_ma);
    over(`the plate ${point.name}`, (sums.plate[point.id] || 0) + boxed(sums, point) + ma, point.plate_ma);
    if (point.single_ma !== null) over(`one plug on ${point.circuits.join(" or ")}`, ma, point.single_ma);
    if (live.contract !== null) {
      const { cap, unit } = live.contract;
      over("the contract", sums.ofContract + (unit === "A" ? ma : up((ma * live.planning_v) / 1000)), cap, unit);
    }
    return found;
  }

  function boxed(sums, point) {
    if (point.box) return 0;
    let most = 0;
    for (const [id, ma] of Object.entries(sums.plate))
      if (id.startsWith(`${point.outlet}/`)) most = Math.max(most, ma);
    return most;
  }

  // Every set-up from now until one is over, the same plug in all of them.
  function mayPlug(live, setups, off, point, ma, runsForHours, worst = false) {
    const found = [];
    for (const setup of setups)
      for (const broken of breaks(live, setup, off, point, ma, runsForHours, worst))
        found.push({ ...broken, setup: setup.id });
    return found;
  }

  // One unit that, if it is off, lets the plug in: the smallest that does.
  function onlyIf(live, setups, off, point, ma, runsForHours) {
    const names = new Map();
    for (const setup of setups)
      for (const unit of setup.units)
        if (unit.ma > 0 && !off.has(keyOf(setup, unit))) names.set(unit.name, unit);
    const bySize = [...names.values()].sort((a, b) => a.ma - b.ma);
    for (const unit of bySize) {
      const less = new Set(off);
      for (const setup of setups)
        for (const each of setup.units) if (each.name === unit.name) less.add(keyOf(setup, each));
      if (!mayPlug(live, setups, less, point, ma, runsForHours).length) return unit;
    }
    return null;
  }

  // On what share of the wirings still possible some circuit is over, with one more plug or none.
  function trips(live, setups, off, point = null, ma = 0, runsForHours = true) {
    const { circuits, outlets, maps } = live.wirings;
    const column = new Map(outlets.map((outlet, n) => [outlet, n + 1]));
    const outletOf = new Map(live.points.map((each) => [each.id, each.outlet]));
    const rows = live.devices.map((device, row) => row).filter((row) => live.devices[row].kind === "circuit");
    const more = up(ma * (runsForHours ? live.continuous : 1));
    const days = setups.map((setup) => {
      const open = setup.units.filter((unit) => unit.anywhere && !off.has(keyOf(setup, unit)))
        .map((unit) => [outletOf.get(unit.point), unit.counted_ma]);
      const sure = carried(live, setup, off).counted;
      if (point !== null && point.anywhere) open.push([point.outlet, more]);
      else if (point !== null) for (const row of point.rows) sure[row] += more;
      return { open, sure };
    });
    const isOver = (map) => days.some(({ open, sure }) => {
      const hung = {};
      for (const [outlet, counted] of open) {
        const circuit = circuits[map[column.get(outlet)]];
        hung[circuit] = (hung[circuit] || 0) + counted;
      }
      return rows.some((row) => sure[row] + (hung[live.devices[row].id] || 0) > live.devices[row].cap_ma);
    });
    let over = 0, total = 0;
    for (const map of maps) {
      total += map[0];
      if (isOver(map)) over += map[0];
    }
    return over / total;
  }

  const in100 = (share) =>
    share === 0 ? "none of 100" : share < 0.01 ? "fewer than 1 of 100" : `${Math.floor(100 * share + 0.5)} of 100`;

  // In how many of 100 wirings each device, had it opened, would leave what is seen.
  function suspects(live, dark, still) {
    const { circuits, outlets, allowed, maps } = live.wirings;
    const column = new Map(outlets.map((outlet, n) => [outlet, n + 1]));
    const groups = [];
    for (const id of circuits)
      if (live.circuits[id].feeds_outlets)
        groups.push({ kind: "circuit", id, has: (c) => c === id, own: null });
    for (const { id } of live.rcds) {
      const members = circuits.filter((c) => live.circuits[c].rcds.includes(id));
      const hung = outlets.filter((o) => live.outlets[o].rcd === id);
      if (members.length > 1 || hung.length)
        groups.push({ kind: "rcd", id, has: (c) => members.includes(c), own: new Set(hung) });
    }
    for (const group of groups) {
      const behind = (outlet, circuit) =>
        (group.own !== null && group.own.has(outlet)) || group.has(circuit);
      const may = (outlet, want) => allowed[outlet].some((c) => behind(outlet, c) === want);
      group.possible = dark.every((o) => may(o, true)) && still.every((o) => may(o, false));
      group.weight = 0;
      group.behind = behind;
      for (const map of maps) {
        const at = (outlet) => circuits[map[column.get(outlet)]];
        const fits = dark.every((o) => behind(o, at(o))) && still.every((o) => !behind(o, at(o)));
        if (fits) group.weight += map[0];
      }
    }
    const total = maps.reduce((sum, map) => sum + map[0], 0);
    return groups
      .filter((group) => group.possible)
      .map((group) => ({ ...group, in100: Math.round((100 * group.weight) / total) }))
      .sort((a, b) => b.weight - a.weight);
  }

  // The outlet whose state would tell most: the one nearest to dark in half of what is left.
  function lookNext(live, found, known, choices) {
    const { circuits, outlets, maps } = live.wirings;
    const column = new Map(outlets.map((outlet, n) => [outlet, n + 1]));
    const total = found.reduce((sum, group) => sum + group.weight, 0);
    if (!total || found.filter((group) => group.weight).length < 2) return null;
    let best = null;
    for (const outlet of choices) {
      if (known.has(outlet)) continue;
      let share = 0;
      for (const group of found) {
        if (!group.weight) continue;
        let there = 0, all = 0;
        for (const map of maps) {
          all += map[0];
          if (group.behind(outlet, circuits[map[column.get(outlet)]])) there += map[0];
        }
        share += (group.weight / total) * (there / all);
      }
      const worth = Math.min(share, 1 - share);
      if (worth > 0.02 && (best === null || worth > best.worth)) best = { outlet, worth };
    }
    return best === null ? null : best.outlet;
  }

  // Text that both YAML and JSON read back as it was.
  const quoted = (text) => JSON.stringify(String(text));
  const listed = (names) => `[${names.map(quoted).join(", ")}]`;

  // The log file that the command line reads.
  function logText(entries) {
    const lines = ["observations:"];
    for (const entry of entries) {
      const device = entry.kind === "rcd"
        ? `what: rcd, rcd: ${quoted(entry.id)}`
        : `what: trip, circuits: ${listed([entry.id])}`;
      const parts = [device];
      if (entry.dark.length) parts.push(`dark: ${listed(entry.dark)}`);
      if (entry.still.length) parts.push(`still_on: ${listed(entry.still)}`);
      parts.push(`who: ${quoted(entry.who)}`, `when: ${quoted(entry.when)}`);
      parts.push(`how: ${quoted("tapped on the sheet")}`);
      if (entry.note) parts.push(`note: ${quoted(entry.note)}`);
      lines.push(`  - {${parts.join(", ")}}`);
    }
    return lines.length > 1 ? `${lines.join("\n")}\n` : "observations: []\n";
  }

  return {
    amps, capAmps, percent, keyOf, carried, contract, meters, breaks, mayPlug, onlyIf, freeSockets,
    suspects, lookNext, logText, trips, in100, up,
  };
})();
