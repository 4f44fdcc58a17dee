// A button that opens and closes the tables of readings; Python sends them when they are wanted.

function render({ model, el }) {
  const button = document.createElement("button");
  const tables = document.createElement("div");
  button.type = "button";
  button.className = "readings-button";
  tables.className = "readings-tables";
  tables.tabIndex = 0; // so that the keyboard can scroll it
  tables.setAttribute("role", "region");
  el.classList.add("readings-view");
  el.dataset.lmSuppressShortcuts = "true"; // a notebook leaves the keys to the button
  el.append(button, tables);

  function draw() {
    const opened = model.get("opened");
    el.hidden = !model.get("ready");
    button.textContent = model.get("title");
    button.setAttribute("aria-expanded", String(opened));
    tables.setAttribute("aria-label", model.get("title"));
    tables.hidden = !opened;
    tables.innerHTML = model.get("tables"); // every text in it was escaped where it was made
  }

  button.addEventListener("click", () => {
    model.set("opened", !model.get("opened"));
    model.save_changes();
  });
  for (const name of ["opened", "ready", "tables", "title"]) model.on(`change:${name}`, draw);
  draw();
}

export default { render };
