// A list to pick one entry from, in groups with titles; the browser's own, so that every key does what it should.

function render({ model, el }) {
  const label = document.createElement("label");
  const list = document.createElement("select");
  const own = Math.random().toString(36).slice(2);
  list.id = `grouped-list-${own}`;
  label.htmlFor = list.id;
  el.append(label, list);

  function fill() {
    label.textContent = model.get("label");
    list.replaceChildren(
      ...model.get("groups").map(([title, entries]) => {
        const group = document.createElement("optgroup");
        group.label = title;
        group.append(...entries.map(([text, id]) => new Option(text, String(id))));
        return group;
      }),
    );
    const lines = model.get("groups").reduce((sum, [, entries]) => sum + 1 + entries.length, 0);
    list.size = Math.max(2, Math.min(model.get("lines"), lines));
    mark();
  }

  function mark() {
    const picked = model.get("picked");
    if (picked === 0) list.selectedIndex = -1;
    else if (list.value !== String(picked)) list.value = String(picked);
  }

  function pick() {
    model.set("picked", Number(list.value));
    model.save_changes();
  }

  list.addEventListener("change", pick);
  model.on("change:groups change:label", fill);
  model.on("change:picked", mark);
  fill();
  return () => {
    model.off("change:groups change:label", fill);
    model.off("change:picked", mark);
  };
}

export default { render };
