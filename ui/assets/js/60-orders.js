// Trying an order of one's own: a name that is dragged, or moved with an arrow,
// changes places; the lists say the same and are what is sent.
(() => {
  const exchange = (one, other) => {
    if (!one || !other || one === other) return;
    [one.value, other.value] = [other.value, one.value];
    one.form.requestSubmit();
  };
  const seats = (form) => [...form.querySelectorAll(".ownseat select")];

  document.addEventListener("click", (event) => {
    const button = event.target.closest(".ownseat .move");
    if (!button) return;
    const all = seats(button.form), here = all.indexOf(button.closest(".ownseat").querySelector("select"));
    const there = here + Number(button.dataset.move);
    focusAfter = { seat: there, move: button.dataset.move };
    exchange(all[here], all[there]);
  });

  // A choice that names somebody who already sits elsewhere changes places: the
  // other seat gets whom this one held when the page came.
  document.addEventListener("change", (event) => {
    const list = event.target;
    if (!list.matches?.(".ownseat select")) return;
    const twin = seats(list.form).find((s) => s !== list && s.value === list.value);
    const held = [...list.options].find((o) => o.defaultSelected);
    if (twin && held) twin.value = held.value;
  }, true);

  // A side set for one seat asks for sides seat by seat.
  document.addEventListener("change", (event) => {
    if (event.target.matches?.("[data-side]")) document.getElementById("pattern").value = "own";
  });

  let lifted = null, focusAfter = null;
  document.addEventListener("dragstart", (event) => {
    lifted = event.target.closest?.(".ownseat");
    lifted?.classList.add("lifted");
  });
  document.addEventListener("dragend", () => { lifted?.classList.remove("lifted"); lifted = null; });
  document.addEventListener("dragover", (event) => {
    const over = event.target.closest?.(".ownseat");
    document.querySelectorAll(".ownseat.over").forEach((s) => s.classList.remove("over"));
    if (!lifted || !over) return;
    event.preventDefault();
    over.classList.add("over");
  });
  document.addEventListener("drop", (event) => {
    const over = event.target.closest?.(".ownseat");
    if (!lifted || !over) return;
    event.preventDefault();
    exchange(lifted.querySelector("select"), over.querySelector("select"));
  });

  // The arrow that was pressed keeps the focus in the order that comes back.
  document.addEventListener("htmx:afterSettle", () => {
    if (!focusAfter) return;
    const row = document.querySelectorAll(".ownseat")[focusAfter.seat];
    const button = row?.querySelector(`.move[data-move="${focusAfter.move}"]:not(:disabled)`) ?? row?.querySelector(".move:not(:disabled)");
    button?.focus();
    focusAfter = null;
  });
})();
