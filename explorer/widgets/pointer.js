// Tells Python where over a panel the pointer is; the next message waits for the answer to the last.

const PATIENCE_MS = 250;

function placeOver(figure, margins, event) {
  const box = figure.getBoundingClientRect();
  const width = box.width - margins.left - margins.right;
  const height = box.height - margins.top - margins.bottom;
  const across = (event.clientX - box.left - margins.left) / width;
  const up = 1 - (event.clientY - box.top - margins.top) / height;
  return across >= 0 && across <= 1 && up >= 0 && up <= 1 ? { across, up } : null;
}

function render({ model, el }) {
  let waiting = false;
  let next = null;
  let last = "";
  let timer = 0;

  function send() {
    const place = next;
    next = null;
    const key = JSON.stringify(place);
    if (key === last) return;
    last = key;
    waiting = true;
    model.send(place);
    timer = setTimeout(answered, PATIENCE_MS);
  }

  function answered() {
    clearTimeout(timer);
    waiting = false;
    if (next) send();
  }

  function moved(event) {
    const target = event.target instanceof Element ? event.target.closest(".panel-figure") : null;
    const root = el.closest(".station-explorer");
    const figures = root ? [...root.querySelectorAll(".panel-figure")] : [];
    const panel = figures.indexOf(target);
    const margins = model.get("margins");
    const place = panel < 0 ? null : placeOver(target, margins[panel], event);
    next = place ? { panel, ...place } : { panel: -1 };
    if (!waiting) send();
  }

  model.on("msg:custom", answered);
  document.addEventListener("pointermove", moved, { passive: true });
  return () => {
    document.removeEventListener("pointermove", moved);
    clearTimeout(timer);
  };
}

export default { render };
