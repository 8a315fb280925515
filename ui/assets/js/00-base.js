"use strict";
// Small help for the pages; everything works without it.

// A choice that changes which fields there are opens the whole page again, with
// what was typed: at once where it was pointed at or taken from an open list.
// Arrows and letters choose at every step on a list that is closed; there it
// waits for Enter, or for the list to be left. The focus then goes on from where
// it was, and not from the top.
(() => {
  const goesTo = "thole-focus";
  let waiting = null; // the list whose choice is still to be followed
  let stepped = -Infinity; // when a key last reached such a list, ms

  const follow = (list, focus) => {
    waiting = null;
    try { if (focus) sessionStorage.setItem(goesTo, `${focus.id} ${list.id}`); } catch { /* kept out by the reader */ }
    list.form.submit();
  };

  // Where the page was opened by keys, the first that is still there is focused.
  try {
    const ids = (sessionStorage.getItem(goesTo) ?? "").split(" ");
    sessionStorage.removeItem(goesTo);
    ids.map((id) => document.getElementById(id)).find(Boolean)?.focus();
  } catch { /* the same */ }

  const hint = (list, wanted) => {
    const shown = list.nextElementSibling?.matches("[role=status]") ? list.nextElementSibling : null;
    if (!wanted) shown?.remove();
    if (!wanted || shown) return;
    const words = Object.assign(document.createElement("p"), { className: "help" });
    words.setAttribute("role", "status");
    list.after(words);
    words.textContent = "Press Enter or leave the list to show this choice.";
  };

  const steps = (event) => !event.altKey && /^(Arrow|Page|Home|End|[^ ]$)/.test(event.key);
  for (const kind of ["keydown", "keypress"]) {
    document.addEventListener(kind, (event) => {
      const list = event.target;
      if (!list.matches?.("[data-reload]")) return;
      stepped = steps(event) ? performance.now() : -Infinity;
      if (event.key !== "Enter" || waiting !== list) return;
      event.preventDefault();
      follow(list, list);
    }, true);
  }

  // The fields are still those of the choice before: an answer to this one would not fit them.
  document.addEventListener("input", (event) => {
    if (event.target.matches("[data-reload]")) event.stopPropagation();
  }, true);

  document.addEventListener("change", (event) => {
    const list = event.target;
    if (!list.matches("[data-reload]")) return;
    event.stopPropagation();
    // A step chooses while its key is handled; an open list takes keys itself.
    if (performance.now() - stepped > 100) return follow(list);
    waiting = list.selectedOptions[0]?.defaultSelected ? null : list;
    hint(list, waiting);
  }, true);

  document.addEventListener("focusout", (event) => {
    const list = event.target;
    if (list === waiting && document.activeElement !== list) follow(list, event.relatedTarget ?? list); // and not just another window
  });
})();

// A link into something folded unfolds it.
document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[href^='#']");
  const to = link && document.getElementById(link.hash.slice(1));
  for (let fold = to?.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
});

document.addEventListener("click", (event) => {
  if (event.target.closest?.("[data-print]")) window.print();
});

// Who signs a work sheet changes nothing that the form around it calculates.
document.addEventListener("change", (event) => {
  if (event.target.matches(".make [form]")) event.stopPropagation();
}, true);

// After an answer that refuses a form that was sent, the first complaint gets
// the focus; while typing it stays where it is.
document.addEventListener("htmx:afterSettle", (event) => {
  for (const complaint of document.querySelectorAll(".complaint")) {
    const entry = document.getElementById(complaint.id.slice(2));
    const bad = complaint.textContent !== "";
    if (entry) bad ? entry.setAttribute("aria-invalid", "true") : entry.removeAttribute("aria-invalid");
    complaint.closest(".field")?.classList.toggle("bad", bad);
  }
  const sent = event.detail.requestConfig?.triggeringEvent?.type === "submit";
  if (sent) document.querySelector("[aria-invalid=true]")?.focus();
});
