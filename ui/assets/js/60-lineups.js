// Trying an order of one's own: a name that is dragged, or moved with an arrow,
// changes places; the lists say the same and are what is sent.
(() => {
  let focusAfter = null;
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

  // Buttons that tick everybody, nobody, or one squad.
  document.addEventListener("click", (event) => {
    const which = event.target.closest?.("[data-tick]")?.dataset.tick;
    if (!which) return;
    const ids = which.split(".");
    for (const box of document.querySelectorAll(".squadlist .here input")) {
      box.checked = which === "all" || which !== "none" && ids.includes(box.id.slice(1));
      box.closest("li").classList.toggle("gone", !box.checked);
    }
    document.getElementById("said").textContent = `${document.querySelectorAll(".squadlist .here input:checked").length} available`;
  });

  // A side set for one seat asks for sides seat by seat.
  document.addEventListener("change", (event) => {
    if (event.target.matches?.("[data-side]")) document.getElementById("pattern").value = "own";
  });

  // Dragging: with a mouse from anywhere on a row, with a finger or a pen from
  // its grip alone, so that everything else still scrolls the page.
  const least = 4; // px that a pointer moves before it drags
  const margin = 56, fastest = 14; // px: of the window's edges that scroll, and a frame
  let held = null; // the row, its pointer and where that is

  const grab = (event) => {
    const row = event.target.closest?.(".ownseat");
    if (held || !row || !event.isPrimary || event.button !== 0) return;
    const whole = event.pointerType === "mouse" && !event.target.closest("select, button");
    if (!whole && !event.target.closest(".grip")) return;
    held = { row, hit: event.target, pointer: event.pointerId, x: event.clientX, y: event.clientY, fromX: event.clientX, fromY: event.clientY + scrollY };
  };

  const lift = () => {
    held.moving = true;
    held.hit.setPointerCapture(held.pointer); // not the row: a finger holds what it hit, and changing that would end the drag
    held.row.classList.add("lifted");
    document.documentElement.classList.add("dragging");
    requestAnimationFrame(creep);
  };

  // The name follows, its seat stays; whoever sits below the pointer is shown
  // in the seat that would become free.
  const shift = (row, by) => {
    for (const part of row.querySelectorAll(".grip, select")) part.style.transform = by ? `translateY(${by}px)` : "";
  };
  const aim = (over) => {
    if (held.over === over) return;
    if (held.over) shift(held.over, 0);
    held.over?.classList.remove("over");
    held.over = over;
    if (!over) return;
    over.classList.add("over");
    shift(over, held.row.offsetTop - over.offsetTop);
  };
  const place = () => {
    const { row, x, y } = held;
    aim([...row.parentElement.children].find((other) => {
      const box = other.getBoundingClientRect();
      return other !== row && y >= box.top && y < box.bottom && x >= box.left - margin && x < box.right + margin;
    }));
    shift(row, y + scrollY - held.fromY);
  };

  // Near an edge of the window the page moves on, as long as the list does.
  const creep = () => {
    if (!held?.moving) return;
    if (!held.row.isConnected) { letGo(); return; } // another answer has come
    const list = held.row.parentElement.getBoundingClientRect();
    const up = list.top < 0 ? Math.max(0, margin - held.y) : 0;
    const down = list.bottom > innerHeight ? Math.max(0, held.y - innerHeight + margin) : 0;
    if (up || down) {
      scrollBy(0, Math.max(-fastest, Math.min(fastest, (down - up) / 3)));
      place();
    }
    requestAnimationFrame(creep);
  };

  const letGo = () => {
    aim(undefined);
    shift(held.row, 0);
    held.row.classList.remove("lifted");
    document.documentElement.classList.remove("dragging");
    held = null;
  };

  const ofHeld = (does) => (event) => { if (held && event.pointerId === held.pointer) does(event); };
  document.addEventListener("pointerdown", grab);
  document.addEventListener("pointermove", ofHeld((event) => {
    held.x = event.clientX;
    held.y = event.clientY;
    if (!held.moving && Math.hypot(held.x - held.fromX, held.y + scrollY - held.fromY) < least) return;
    if (!held.moving) lift();
    place();
  }));
  document.addEventListener("pointerup", ofHeld(() => {
    const { row, over } = held;
    letGo();
    if (over && row.isConnected) exchange(row.querySelector("select"), over.querySelector("select"));
  }));
  for (const end of ["pointercancel", "lostpointercapture"]) document.addEventListener(end, ofHeld(letGo));
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !held?.moving) return;
    event.preventDefault();
    letGo();
  });

  // What was pressed to ask how firm the orders are gives way to the button
  // that stops the work, and that to what came of it.
  let asked = false;
  document.addEventListener("htmx:beforeSwap", () => { asked = Boolean(document.activeElement?.closest("#firm")); });
  document.addEventListener("htmx:afterSettle", () => {
    if (!asked || document.activeElement?.closest("#firm")) return;
    document.querySelector("#job-stop, #firm .verdict, #firm button")?.focus();
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
