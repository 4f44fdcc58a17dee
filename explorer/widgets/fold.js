// A fold: a button that says whether it is expanded, and the region that it shows.

function render({ model, el }) {
  const button = document.createElement("button");
  const title = document.createElement("span");
  const region = document.createElement("div");
  const own = Math.random().toString(36).slice(2); // each fold is a module of its own and counts for itself
  title.id = `fold-title-${own}`;
  region.id = `fold-region-${own}`;
  button.type = "button";
  button.className = "fold-button";
  button.setAttribute("aria-controls", region.id);
  button.append(title);
  region.className = "fold-region";
  region.setAttribute("role", "region");
  region.setAttribute("aria-labelledby", title.id);
  el.append(button, region);

  function draw() {
    const expanded = model.get("expanded");
    title.textContent = model.get("title");
    button.setAttribute("aria-expanded", String(expanded));
    region.hidden = !expanded;
    region.innerHTML = model.get("html"); // its texts were escaped where it was made
  }

  function press() {
    model.set("expanded", !model.get("expanded"));
    model.save_changes();
  }

  // Something on the page opened it: bring it into view, as little as needed.
  function show({ part }) {
    requestAnimationFrame(() => {
      const found = part && el.closest(".fold")?.querySelector(part);
      (found || button).scrollIntoView({ block: "nearest" }); // with its style's margin
      if (found && !found.contains(document.activeElement)) found.querySelector("select")?.focus({ preventScroll: true });
    });
  }

  button.addEventListener("click", press);
  model.on("msg:custom", show);
  model.on("change:expanded change:title change:html", draw);
  draw();
  return () => {
    model.off("change:expanded change:title change:html", draw);
    model.off("msg:custom", show);
  };
}

export default { render };
