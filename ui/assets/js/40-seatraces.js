// Times typed in the launch: kept on the phone as they are typed, sent when
// there is a connection, sent again with the same key until the server has
// answered. Without a script the form is sent as any other.
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
    for (const field of kept(form)) if (field.value !== field.defaultValue) values[field.name] = field.value;
    write(draftName(form), Object.keys(values).length > 1 ? values : null);
  };
  const restore = (form) => {
    const values = read(draftName(form), null);
    if (!values || form.elements.version || form.querySelector("[aria-invalid]")) return;
    form.elements.key.value = values.key;
    for (const field of kept(form)) if (field.name in values) field.value = values[field.name];
  };

  // On a phone the pad of digits has no colon: buttons write what it lacks.
  const addKeys = (form) => {
    for (const input of form.querySelectorAll(".lanes input")) {
      if (input.closest(".field").querySelector(".typing")) continue;
      input.inputMode = "decimal";
      const row = document.createElement("span");
      row.className = "typing";
      for (const [text, label] of [[input.dataset.minutes, ""], [":", "colon"], ["+", "plus: a margin"], ["dnf", "dnf, did not finish"]]) {
        const key = document.createElement("button");
        key.type = "button";
        key.textContent = text;
        key.setAttribute("aria-label", `${label || text} for ${input.labels[0].textContent}`);
        key.addEventListener("click", () => {
          input.value = text === "dnf" ? text : input.value + text;
          input.dispatchEvent(new Event("input", { bubbles: true }));
          input.focus();
        });
        row.append(key);
      }
      input.closest(".entry").after(row);
    }
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
    (bad ?? next.querySelector(".lanes input"))?.focus();
    document.getElementById("now")?.scrollIntoView({ block: "nearest" });
  };

  // Without a connection the next piece's form opens, for the day goes on.
  const goOn = () => {
    const waiting = read(queueName, []);
    const next = [...document.querySelectorAll("form[data-piece]")].find((form) => !waiting.some((w) => w.address === form.action));
    const fold = next?.closest("details");
    if (!fold) return;
    fold.open = true;
    next.querySelector(".lanes input").focus();
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
    if (form && event.target.name === "by") write("thole-timed-by", event.target.value);
  });

  document.addEventListener("submit", (event) => {
    const form = event.target.closest("form[data-piece]");
    if (!form) return;
    keep(form);
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
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
  setInterval(() => send(), 15000);
  dress();
  send();
})();
