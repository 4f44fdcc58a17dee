// Tells Python where over a panel the pointer is; the next message waits for the answer to the last. A click
// is told at once.

const PATIENCE_MS = 250;
const DRAG_PX = 5; // as far as this a click may slip; beyond it is a drag

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

  function over(event) {
    const target = event.target instanceof Element ? event.target.closest(".panel-figure") : null;
    const root = el.closest(".station-explorer");
    const figures = root ? [...root.querySelectorAll(".panel-figure")] : [];
    const panel = figures.indexOf(target);
    const margins = model.get("margins");
    const place = panel < 0 ? null : placeOver(target, margins[panel], event);
    return place ? { panel, ...place } : { panel: -1 };
  }

  function moved(event) {
    next = over(event);
    if (!waiting) send();
  }

  let pressed = null;

  function down(event) {
    pressed = event.button === 0 ? event : null;
  }

  function clicked(event) {
    if (!pressed) return;
    const slipped = Math.hypot(event.clientX - pressed.clientX, event.clientY - pressed.clientY);
    const place = over(event);
    if (place.panel >= 0 && slipped <= DRAG_PX) model.send({ ...place, clicked: true });
  }

  model.on("msg:custom", answered);
  document.addEventListener("pointermove", moved, { passive: true });
  document.addEventListener("pointerdown", down, { passive: true });
  document.addEventListener("click", clicked);
  return () => {
    document.removeEventListener("pointermove", moved);
    document.removeEventListener("pointerdown", down);
    document.removeEventListener("click", clicked);
    clearTimeout(timer);
  };
}

export default { render };
