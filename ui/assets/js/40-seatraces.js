// Times typed in the launch: kept on the phone as they are typed, sent when
// there is a connection, sent again with the same key until the server has
// answered. The stopwatch beside them keeps the moments of its presses on the
// phone's own clock, so that it runs on through a locked screen, a reload and no
// signal. Without a script the form is sent as any other.
(() => {
  const draftName = (form) => `thole-draft ${form.getAttribute("action")}`;
  const queueName = "thole-to-send";

  const read = (name, fallback) => {
    try { return JSON.parse(localStorage.getItem(name)) ?? fallback; } catch { return fallback; }
  };
  const write = (name, value) => {
    try { value === null ? localStorage.removeItem(name) : localStorage.setItem(name, JSON.stringify(value)); return true; } catch { return false; }
  };

  // Draft: what stands in the form, brought back after the page was lost.
  const kept = (form) => [...form.querySelectorAll("input:not([type=hidden]), textarea")];
  const keep = (form) => {
    const values = { key: form.elements.key.value };
    if (watchOf(form).taps.length > 0) values.watch = watchOf(form);
    for (const field of kept(form)) if (field.value !== field.defaultValue) values[field.name] = field.value;
    write(draftName(form), Object.keys(values).length > 1 ? values : null);
  };
  const restore = (form) => {
    const values = read(draftName(form), null);
    if (values?.watch && !form.elements.version) watches.set(form, values.watch);
    if (!values || form.elements.version || form.querySelector("[aria-invalid]")) return;
    form.elements.key.value = values.key;
    for (const field of kept(form)) if (field.name in values) field.value = values[field.name];
  };

  // The watch of a form: its presses, the moments in ms by the clock of the phone,
  // and those taken back.
  const watches = new WeakMap();
  const watchOf = (form) => watches.get(form) ?? { taps: [], undone: [] };
  const times = (form) => [...form.querySelectorAll(".lanes input")];
  const timeOf = (form, boat) => form.elements[`t${boat}`];
  const startOf = (watch) => watch.taps.find((tap) => tap.kind === "start")?.at;
  const tapOf = (watch, kind, boat) => watch.taps.find((tap) => tap.kind === kind && tap.boat === boat);
  const nameOf = (input) => input.labels[0].textContent;

  const clockText = (ms, digits) => {
    const unit = 10 ** digits;
    const whole = Math.round((Math.max(ms, 0) / 1000) * unit);
    return `${Math.floor(whole / unit / 60)}:${((whole % (60 * unit)) / unit).toFixed(digits).padStart(digits + 3, "0")}`;
  };
  const tapText = (watch, tap) => clockText(tap.at - startOf(watch), 2);

  // It runs until every boat has a time, pressed or typed.
  const runs = (form) => startOf(watchOf(form)) !== undefined && times(form).some((input) => input.value.trim() === "");

  const splitsText = (watch) => {
    const splits = watch.taps.filter((tap) => tap.kind === "split").map((tap) => `boat ${tap.boat} ${tapText(watch, tap)}`);
    return splits.length > 0 ? `Splits: ${splits.join(", ")}` : "";
  };

  // The splits stand in the note, behind what was typed there.
  const noteSplits = (form, watch) => {
    const note = form.elements.note;
    const typed = note.value.replace(watch.noted ?? "", "").trim();
    watch.noted = splitsText(watch);
    note.value = [typed, watch.noted].filter(Boolean).join(" ");
  };

  const watchSays = (form, watch) => {
    const start = startOf(watch);
    if (start === undefined) return "One press at the start, one for each boat at the finish line.";
    const taps = times(form).map((input, i) => ({ name: nameOf(input), tap: tapOf(watch, "finish", i + 1), typed: input.value }));
    if (runs(form)) {
      const expected = Number(form.dataset.expected) * 1000;
      const since = `Started at ${new Date(start).toLocaleTimeString("en-GB")}.`;
      const late = expected > 0 && Date.now() - start > 3 * expected;
      const splits = splitsText(watch);
      return late ? `${since} A piece takes about ${clockText(expected, 0)}: was the watch not stopped? Type the times, or undo the start.` : [since, splits].filter(Boolean).join(" ");
    }
    if (taps.some(({ tap, typed }) => !tap || typed !== tapText(watch, tap))) return "Every boat has a time. Save the times.";
    taps.sort((a, b) => a.tap.at - b.tap.at);
    return `${taps[0].name} by ${((taps[1].tap.at - taps[0].tap.at) / 1000).toFixed(1)} s. Save the times.`;
  };

  const tick = (form) => {
    const watch = watchOf(form);
    const start = startOf(watch);
    const last = Math.max(...watch.taps.map((tap) => tap.at));
    form.querySelector(".clock").textContent = start === undefined ? "0:00.0" : clockText((runs(form) ? Date.now() : last) - start, 1);
  };

  const drawWatch = (form) => {
    const box = form.querySelector(".watch");
    if (!box) return;
    const watch = watchOf(form);
    const started = startOf(watch) !== undefined;
    box.hidden = false;
    box.querySelector("[data-watch=start]").hidden = started;
    box.querySelector("[data-watch=undo]").hidden = watch.taps.length === 0;
    box.querySelector("[data-watch=redo]").hidden = watch.undone.length === 0;
    for (const taps of form.querySelectorAll(".taps")) taps.hidden = false;
    for (const key of form.querySelectorAll(".taps button")) {
      const boat = Number(key.dataset.boat);
      key.disabled = !started || tapOf(watch, "finish", boat) !== undefined || timeOf(form, boat).value.trim() !== "";
    }
    const words = watchSays(form, watch);
    const says = box.querySelector("[data-watch-says]");
    if (says.textContent !== words) says.textContent = words;
    if (runs(form)) form.closest("details.later")?.setAttribute("open", "");
    tick(form);
    wake();
  };

  // While a watch runs its digits move, and the screen stays lit where it can.
  let beat = null;
  let lit = null;
  const wake = async () => {
    const running = [...document.querySelectorAll("form[data-piece]")].filter((form) => form.querySelector(".watch") && runs(form));
    if (running.length > 0 && beat === null) beat = setInterval(() => document.querySelectorAll("form[data-piece]").forEach((form) => form.querySelector(".watch") && runs(form) && tick(form)), 100);
    if (running.length === 0 && beat !== null) { clearInterval(beat); beat = null; }
    try {
      if (running.length > 0 && !lit && document.visibilityState === "visible") {
        lit = navigator.wakeLock?.request("screen") ?? null;
        (await lit)?.addEventListener("release", () => { lit = null; });
      }
      if (running.length === 0 && lit) { (await lit)?.release(); lit = null; }
    } catch { lit = null; }
  };

  const press = (form, kind, boat, at) => {
    const watch = watchOf(form);
    watches.set(form, watch);
    if (kind === "undo" || kind === "redo") {
      const [from, to] = kind === "undo" ? [watch.taps, watch.undone] : [watch.undone, watch.taps];
      const tap = from.at(-1);
      const text = tap.kind === "finish" ? tapText(watch, tap) : null;
      to.push(from.pop());
      const field = tap.kind === "finish" ? timeOf(form, tap.boat) : null;
      if (field && kind === "undo" && field.value === text) field.value = "";
      if (field && kind === "redo" && field.value === "") field.value = text;
    } else {
      watch.taps.push({ kind, boat, at });
      watch.undone = [];
      if (kind === "finish") timeOf(form, boat).value = tapText(watch, watch.taps.at(-1));
    }
    noteSplits(form, watch);
    keep(form);
    clearComplaint(form, boat);
    drawWatch(form);
  };

  // The moment of a press is that of the finger's touch, not of its lifting.
  let touched = null;
  document.addEventListener("pointerdown", (event) => {
    const key = event.target.closest?.("[data-watch]");
    touched = key ? { key, at: Date.now() } : null;
  });
  document.addEventListener("click", (event) => {
    const key = event.target.closest?.("[data-watch]");
    if (!key) return;
    const now = Date.now();
    const at = touched?.key === key && now - touched.at < 3000 ? touched.at : now;
    const form = key.form;
    touched = null;
    press(form, key.dataset.watch, Number(key.dataset.boat) || undefined, at);
    if (key.dataset.watch === "start") form.querySelector(".taps").scrollIntoView({ block: "nearest" });
    if (key.disabled || key.hidden) (form.querySelector(".taps [data-watch=finish]:enabled") ?? form.querySelector("[value=raced]")).focus({ preventScroll: true });
  });

  // Before times are kept to be sent, no boat may lack one.
  const complain = (form, boat, text) => {
    const input = timeOf(form, boat);
    document.getElementById(`e-${input.id}`).textContent = text;
    input.closest(".field").classList.toggle("bad", text !== "");
    text ? input.setAttribute("aria-invalid", "true") : input.removeAttribute("aria-invalid");
  };
  const clearComplaint = (form, boat) => boat && complain(form, boat, "");
  const lacksTimes = (form) => {
    const watch = watchOf(form);
    const bad = times(form).filter((input, i) => {
      if (input.value.trim() !== "") return false;
      const running = startOf(watch) !== undefined && !tapOf(watch, "finish", i + 1);
      complain(form, i + 1, running ? "The watch still runs for this boat. Press its finish, or type the time, or dnf." : "The time is missing. Type it, or dnf for a boat that did not finish.");
      return true;
    });
    bad[0]?.focus();
    return bad.length > 0;
  };

  // On a phone the pad of digits has no colon: buttons write what it lacks, into
  // the field that was touched last.
  const lastField = (form) => form.lastField ?? times(form).find((input) => input.value === "") ?? times(form)[0];
  const addKeys = (form) => {
    if (form.querySelector(".typing")) return;
    const row = document.createElement("p");
    row.className = "typing";
    for (const input of times(form)) {
      input.inputMode = "decimal";
      input.addEventListener("focus", () => { form.lastField = input; });
    }
    for (const [text, label] of [[times(form)[0].dataset.minutes, ""], [":", "colon"], ["+", "plus: a margin"], ["dnf", "dnf, did not finish"]]) {
      const key = document.createElement("button");
      key.type = "button";
      key.textContent = text;
      key.setAttribute("aria-label", `${label || text} for the time last touched`);
      key.addEventListener("mousedown", (event) => event.preventDefault());
      key.addEventListener("click", () => {
        const input = lastField(form);
        input.value = text === "dnf" ? text : input.value + text;
        input.dispatchEvent(new Event("input", { bubbles: true }));
        input.focus();
      });
      row.append(key);
    }
    form.querySelector(".lanes").after(row);
  };

  const say = () => {
    const place = document.getElementById("waiting");
    const waiting = read(queueName, []);
    if (!place) return;
    place.hidden = waiting.length === 0;
    for (const form of document.querySelectorAll("form[data-piece]")) {
      form.querySelector(".kept").hidden = !waiting.some((w) => w.address === form.action);
    }
    place.textContent = waiting.length === 0 ? "" : `Saved on this device, not sent yet: ${waiting.map((w) => w.label).join(", ")}. It is sent when there is a connection.`;
  };

  const dress = () => {
    for (const form of document.querySelectorAll("form[data-piece]")) {
      restore(form);
      addKeys(form);
      drawWatch(form);
    }
    for (const by of document.querySelectorAll("form[data-piece] [name=by]")) {
      if (by.value === "") by.value = read("thole-timed-by", "");
    }
    say();
  };

  // The answer takes the place of the page's live part when it is still the
  // page of the same seat race.
  const show = (html, race) => {
    const next = new DOMParser().parseFromString(html, "text/html").getElementById("seatrace");
    const here = document.getElementById("seatrace");
    if (!next || !here || here.dataset.race !== race) return;
    here.replaceWith(next);
    window.htmx?.process(next);
    dress();
    const bad = next.querySelector("[aria-invalid]");
    (bad ?? document.getElementById("latest-h"))?.focus();
    document.getElementById(bad ? "now" : "latest")?.scrollIntoView({ block: "nearest" });
  };

  // Without a connection the next piece's form opens, for the day goes on.
  const goOn = () => {
    const waiting = read(queueName, []);
    const next = [...document.querySelectorAll("form[data-piece]")].find((form) => !waiting.some((w) => w.address === form.action));
    const fold = next?.closest("details");
    if (!fold) return;
    fold.open = true;
    next.querySelector("[data-watch=start]").focus();
  };

  let sending = false;
  const send = async (typed = false) => {
    if (sending) return;
    sending = true;
    try {
      for (let waiting = read(queueName, []); waiting.length > 0; waiting = read(queueName, [])) {
        const first = waiting[0];
        const answer = await fetch(first.address, { method: "POST", headers: { "HX-Request": "true", "Content-Type": "application/x-www-form-urlencoded" }, body: first.body });
        if (answer.status >= 500 || answer.status === 429) break;
        // Refused for what was typed: it stays in the form, under complaint.
        if (answer.ok) write(first.draft, null);
        write(queueName, read(queueName, []).filter((w) => w.id !== first.id));
        show(await answer.text(), first.race ?? first.trial);
      }
    } catch {
      if (typed) goOn(); // no connection: the line stays as it is
    } finally {
      sending = false;
      say();
    }
  };

  document.addEventListener("input", (event) => {
    const form = event.target.closest?.("form[data-piece]");
    if (form) keep(form);
    if (form?.querySelector(".watch") && event.target.matches(".lanes input")) {
      clearComplaint(form, Number(event.target.name.slice(1)));
      drawWatch(form);
    }
    if (form && event.target.name === "by") write("thole-timed-by", event.target.value);
  });

  document.addEventListener("submit", (event) => {
    const form = event.target.closest("form[data-piece]");
    if (!form) return;
    keep(form);
    if (event.submitter?.value === "raced" && lacksTimes(form)) return event.preventDefault();
    const body = new URLSearchParams(new FormData(form, event.submitter)).toString();
    const entry = {
      id: `${form.elements.key.value} ${Date.now()}`, draft: draftName(form), address: form.action, body,
      race: document.getElementById("seatrace")?.dataset.race, label: `piece ${form.dataset.piece}`,
    };
    const others = read(queueName, []).filter((w) => !w.id.startsWith(`${form.elements.key.value} `));
    if (!write(queueName, [...others, entry])) return; // no storage: the plain form does it
    event.preventDefault();
    say();
    send(true);
  });

  window.addEventListener("online", () => send());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    wake();
    send();
  });
  setInterval(() => send(), 15000);
  dress();
  send();
})();
