// A label that is a term shows its definition here, so that nobody leaves a form
// half filled in for it. Without this the label is a plain link to the glossary.
(() => {
  if (!("popover" in HTMLElement.prototype)) return;
  let pages;
  const glossary = (address) => {
    pages ??= fetch(address).then((answer) => {
      if (!answer.ok) throw new Error(answer.status);
      return answer.text();
    }).then((text) => new DOMParser().parseFromString(text, "text/html"));
    return pages;
  };
  const box = () => {
    let made = document.getElementById("term-box");
    if (!made) {
      made = document.createElement("div");
      made.id = "term-box";
      made.className = "term-box";
      made.popover = "auto";
      made.tabIndex = -1;
      made.setAttribute("role", "dialog");
      made.setAttribute("aria-label", "Definition");
      document.body.append(made);
    }
    return made;
  };
  const show = async (link) => {
    const [address, key] = link.getAttribute("href").split("#");
    try {
      const term = (await glossary(address)).getElementById(key);
      const into = box();
      const list = document.createElement("dl");
      list.append(...[...term.children].map((child) => child.cloneNode(true)));
      const close = document.createElement("button");
      close.type = "button";
      close.className = "second";
      close.textContent = "Close";
      close.addEventListener("click", () => into.hidePopover());
      into.replaceChildren(list, close);
      into.showPopover();
      into.focus();
    } catch {
      pages = undefined;
      location.href = link.href;
    }
  };
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a.term");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    show(link);
  });
})();
