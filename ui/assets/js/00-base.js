"use strict";
// Small help for the pages; everything works without it.

// A choice that changes which fields there are opens the whole page again,
// with what was typed.
document.addEventListener("change", (event) => {
  if (!event.target.matches("[data-reload]")) return;
  event.stopPropagation();
  event.target.form.submit();
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
