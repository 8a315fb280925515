"use strict";
// Readings of a work sheet over a flaky connection. What is typed is kept on
// this device first, under a key of its own, and sent until it has arrived;
// the server counts a key once. Without this script plain forms do.
(() => {
  const page = document.getElementById("worksheet");
  if (!page || page.hasAttribute("data-done")) return;
  page.classList.add("scripted");
  const shelf = "thole.sheet." + page.dataset.sheet;
  const status = document.getElementById("sync");
  const name = document.getElementById("who");
  const finish = document.getElementById("finish");
  let sending = false;
  let finishing = false; // pressed while values were on their way
  let timer = 0;

  // The queue: one entry a line, the newest typed. Where the browser keeps
  // nothing it lasts as long as the page.
  let memory = {};
  const load = () => {
    try { return JSON.parse(localStorage.getItem(shelf)) || {}; } catch { return memory; }
  };
  const store = (queue) => {
    memory = queue;
    try {
      Object.keys(queue).length ? localStorage.setItem(shelf, JSON.stringify(queue)) : localStorage.removeItem(shelf);
    } catch { /* kept in memory */ }
  };
  const newKey = () => "phone-" + Date.now().toString(36) + "-" + Array.from(crypto.getRandomValues(new Uint32Array(3)), (n) => n.toString(36)).join("");
  // Lengths are kept in cm; data-rig of a form tells how its reader has them.
  const cmOf = { cm: 1, mm: 0.1, in: 2.54, '"': 2.54 };
  const ownUnit = (form) => (form?.dataset.rig ?? "cm").slice(0, 2);
  const measure = /^([+-]?)(?:(\d*\.?\d+)(?:[ -]+(\d+)\/(\d+))?|(\d+)\/(\d+))\s*(cm|mm|in|")?$/;
  const parse = (text, form) => {
    const clean = text.trim().replace(/\u00a0/g, " ").replace(/[−–]/g, "-").replace(",", ".");
    if (form && form.dataset.unit !== "cm" || clean === "") {
      const number = clean.replace(/\s|°/g, "");
      return number !== "" && isFinite(Number(number)) ? Number(number) : null;
    }
    const m = measure.exec(clean);
    if (!m) return null;
    const part = m[3] ? m[3] / m[4] : m[5] ? m[5] / m[6] : 0, unit = m[7] ?? ownUnit(form);
    if (!isFinite(part) || part > 0 && cmOf[unit] !== 2.54) return null;
    const cm = Math.round((Number(m[2] ?? 0) + part) * cmOf[unit] * 1e4) / 1e4;
    return m[1] === "-" ? -cm : cm;
  };
  const plain = (v, form) => String(Math.round(v * 100) / 100).replace("-", "−").replace(".", form?.dataset.decimal ?? ".");
  const fraction = (inches) => {
    const size = Math.abs(inches);
    let parts = size < 1 ? 32 : 16;
    let count = Math.round(size * parts);
    const whole = Math.floor(count / parts);
    for (count %= parts; count > 0 && count % 2 === 0; count /= 2) parts /= 2;
    const text = count === 0 ? String(whole) : (whole > 0 ? whole + "\u00a0" : "") + count + "/" + parts;
    return inches < 0 && text !== "0" ? "−" + text : text;
  };
  // A length in cm, or in mm where it is a miss, as the form's reader has it.
  const length = (cm, form, miss) => {
    if (form.dataset.rig === "in_fractions") return fraction(cm / cmOf.in) + " in";
    if (form.dataset.rig) return plain(cm / cmOf[form.dataset.rig], form) + " " + form.dataset.rig;
    return miss ? plain(cm * 10, form) + " mm" : plain(cm, form) + " cm";
  };
  // What is kept is a number in cm or degrees, or words such as "hole 7".
  const said = (text, form) => parse(text) === null || form.dataset.unit !== "cm" ? text : length(parse(text), form).replace(/ (cm|mm|in)$/, "").replace("\u00a0", " ");

  const lineOf = (id) => document.getElementById(id);
  const show = (line, state, text) => {
    const old = line.querySelector(".state");
    const p = document.createElement("p");
    p.className = "state";
    p.dataset.state = state;
    p.textContent = text;
    old.replaceWith(p);
    mark(line);
  };
  const mark = (line) => {
    const p = line.querySelector(".state");
    line.classList.remove("todo", "good", "off", "bad", "waiting");
    line.classList.add(p.dataset.state || "todo");
    const input = line.querySelector("[name=value]");
    p.dataset.state === "bad" ? input.setAttribute("aria-invalid", "true") : input.removeAttribute("aria-invalid");
    count();
  };

  // Whether a value lies within the tolerance can be told without the server.
  const judge = (form, text) => {
    const value = parse(text);
    if (value === null) return ["todo", text];
    const target = Number(form.dataset.target), within = Number(form.dataset.tolerance), unit = form.dataset.unit;
    const miss = value - target, cm = unit === "cm";
    const read = cm ? length(value, form) : plain(value, form) + " " + unit;
    const size = cm ? length(Math.abs(miss), form, true) : plain(Math.abs(miss), form) + unit;
    if (Math.abs(miss) <= within + 1e-6) return ["good", "✓ " + read];
    return ["off", "▲ " + read + ": " + size + (miss > 0 ? " too much" : " too little")];
  };

  // What is left: moves without a reading that lies within its tolerance.
  const count = () => {
    let left = 0, all = 0;
    for (const seat of page.querySelectorAll(".workseat")) {
      const lines = [...seat.querySelectorAll(".steps:not(.unnumbered) .workline")];
      const open = lines.filter((l) => l.querySelector(".state").dataset.state !== "good").length;
      left += open;
      all += lines.length;
      const link = page.querySelector(`.seatnav [data-seat="${seat.dataset.seat}"]`);
      if (lines.length > 0) link.querySelector(".count").textContent = open > 0 ? open + " left" : "✓ set";
      link.classList.toggle("ready", open === 0);
    }
    const tally = document.getElementById("tally-done"), words = document.getElementById("left");
    if (tally) tally.textContent = all - left;
    if (words && all > 0) words.textContent = left > 0 ? left + " of " + all + " moves left." : "Nothing left to move: final checks, then finish.";
    const off = page.querySelector(".offcount");
    if (off) off.textContent = page.querySelectorAll(".state[data-state=off]").length + " out of tolerance";
  };

  const tell = () => {
    const entries = Object.values(load());
    const refused = entries.filter((e) => e.refused).length, waiting = entries.length - refused;
    const some = (n, words) => n === 0 ? "" : n + (n === 1 ? " value " : " values ") + words;
    status.classList.toggle("waiting", entries.length > 0);
    status.textContent = [some(waiting, "kept on this device until the connection is back."), some(refused, "kept on this device: please check.")].join(" ").trim() || "Everything is saved.";
  };

  const keep = (line, text) => {
    const form = line.querySelector("form");
    const value = parse(text, form);
    const counted = value === null && /\p{L}|#/u.test(text); // washers, clams, holes: the server knows what they make
    if (value === null && !counted) {
      show(line, "bad", "✗ “" + text + "” is not a number.");
      return;
    }
    const queue = load();
    const known = queue[line.id] ? queue[line.id].value : line.querySelector(".state").dataset.value;
    const same = counted ? known === text.trim() : known !== undefined && parse(known) === value;
    if (same && !queue[line.id]?.refused) return; // said twice, as by leaving the field and Enter
    queue[line.id] = { key: newKey(), seat: form.elements.seat.value, setting: form.elements.setting.value, value: counted ? text.trim() : String(value), at: new Date().toISOString() };
    store(queue);
    finishing = false; // what is typed after all is looked at first
    const [state, words] = judge(form, queue[line.id].value);
    show(line, state, words + " · sending");
    tell();
    send();
  };

  // post sends one entry; true when it is settled.
  const post = async (id, entry) => {
    const body = new URLSearchParams({ ...entry, by: name ? name.value : "" });
    const answer = await fetch("/sheets/" + page.dataset.sheet + "/readings", { method: "POST", body, headers: { "HX-Request": "true" }, signal: AbortSignal.timeout(15000) });
    const text = await answer.text();
    const line = lineOf(id);
    const template = document.createElement("template");
    template.innerHTML = text;
    const state = template.content.querySelector(".state");
    const current = load()[id];
    if (line && state && (!current || current.key === entry.key)) {
      line.querySelector(".state").replaceWith(state);
      if (!answer.ok) state.append(" It is kept on this device.");
      mark(line);
    }
    if (answer.status >= 500) throw new Error("later");
    return answer.ok;
  };

  const send = async () => {
    if (sending) return;
    sending = true;
    clearTimeout(timer);
    let again = false;
    try {
      for (const [id, entry] of Object.entries(load())) {
        const taken = await post(id, entry);
        const queue = load();
        if (!queue[id] || queue[id].key !== entry.key) { again = true; continue; }
        taken ? delete queue[id] : queue[id].refused = true;
        store(queue);
      }
    } catch {
      for (const id of Object.keys(load())) {
        const line = lineOf(id);
        if (line) line.classList.add("waiting");
      }
      timer = setTimeout(send, 5000);
    }
    sending = false;
    tell();
    if (again) return send();
    if (finishing && Object.keys(load()).length === 0) finish.requestSubmit();
  };

  page.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.matches(".reading")) {
      event.preventDefault();
      const input = form.elements.value;
      if (event.submitter && event.submitter.name === "as_on_sheet") input.value = form.elements.target.value + (form.dataset.rig ? " cm" : "");
      if (input.value.trim() !== "") keep(form.closest(".workline"), input.value);
    }
    if (form === finish && Object.keys(load()).length > 0) {
      event.preventDefault();
      finishing = true;
      status.textContent = "Some values are still on this device. The sheet is finished as soon as they have arrived.";
      status.scrollIntoView({ block: "center" });
      send();
    }
  });
  page.addEventListener("change", (event) => {
    if (event.target === name) {
      const body = new URLSearchParams({ by: name.value });
      fetch("/sheets/" + page.dataset.sheet + "/name", { method: "POST", body, headers: { "HX-Request": "true" } }).catch(() => {});
      const by = document.getElementById("finish-by");
      if (by && by.value === "") by.value = name.value;
      send();
    }
    if (event.target.matches(".reading [name=value]") && event.target.value.trim() !== "") keep(event.target.closest(".workline"), event.target.value);
  });
  // Checks that were ticked stay ticked on this device until the sheet is done.
  const ticks = shelf + ".ticks";
  const boxes = [...page.querySelectorAll(".ticks [name=check]")];
  try { for (const v of JSON.parse(localStorage.getItem(ticks)) || []) boxes.forEach((b) => { if (b.value === v) b.checked = true; }); } catch { /* none kept */ }
  page.addEventListener("change", (event) => {
    if (event.target.name !== "check") return;
    try { localStorage.setItem(ticks, JSON.stringify(boxes.filter((b) => b.checked).map((b) => b.value))); } catch { /* until the page is left */ }
  });

  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });

  // What was typed before the page was left stands in its fields again.
  for (const [id, entry] of Object.entries(load())) {
    const line = lineOf(id);
    if (!line) continue;
    const form = line.querySelector("form");
    form.elements.value.value = said(entry.value, form);
    const [state, words] = judge(form, entry.value);
    show(line, state, words + " · kept on this device");
    if (line.closest("details")) line.closest("details").open = true;
  }
  count();
  tell();
  if (Object.keys(load()).length) send();
})();
