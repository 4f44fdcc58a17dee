// Writes around and over a panel's field: values at its left, class names at its right, changes of method within.

const SVG = "http://www.w3.org/2000/svg";
const GAP_PX = 8; // between the field and what stands beside it
const BESIDE_LINE_PX = 5;
const OVER_PX = 5; // the topmost name may stand so far over the field's upper edge
const UNDER_PX = 3; // there is no room beyond so far under the lower edge
const LINE_EM = 1.15; // from line to line
const ROOM_EM = 0.75; // from the field's upper edge to the middle of a word within it

const pen = document.createElement("canvas").getContext("2d"); // measures without laying out the page

function written(text, x, y, anchor, kind = "label") {
  const node = document.createElementNS(SVG, "text");
  node.setAttribute("class", kind);
  for (const [key, value] of Object.entries({ x, y, "text-anchor": anchor })) node.setAttribute(key, value);
  node.textContent = text;
  return node;
}

// Moves heights apart, from the top down, until lines do not touch.
function apart(heights, step, low, high) {
  const order = [...heights.keys()].sort((a, b) => heights[a] - heights[b]);
  const least = Math.min(step, (high - low) / Math.max(order.length - 1, 1));
  const moved = [...heights];
  order.forEach((at, rank) => {
    moved[at] = Math.max(moved[at], rank ? moved[order[rank - 1]] + least : low);
  });
  let floor = high;
  for (const at of order.reverse()) {
    moved[at] = Math.min(moved[at], floor);
    floor = moved[at] - least;
  }
  return moved;
}

function render({ model, el }) {
  const drawing = document.createElementNS(SVG, "svg");
  const letter = document.createElement("span"); // as high as a letter, so that a change of size is noticed
  letter.className = "letter-size";
  drawing.setAttribute("aria-hidden", "true");
  el.append(drawing, letter);
  let [width, height, size] = [0, 0, 0]; // as observed: to ask for them would lay the page out anew

  function ticks() {
    return model.get("ticks").map(([place, text]) => {
      const y = Math.min(Math.max((1 - place) * height, size / 3), height - size / 3);
      return written(text, -GAP_PX, y, "end");
    });
  }

  function names() {
    const room = model.get("room") - GAP_PX;
    const entries = model.get("names");
    const middles = entries.map(([place]) => (1 - place) * height);
    const heights = apart(middles, LINE_EM * size, -OVER_PX, height + UNDER_PX - size * 0.6);
    return entries.map(([, text], index) => {
      const node = written(text, width + GAP_PX, heights[index], "start");
      if (pen.measureText(text).width > room) {
        node.setAttribute("textLength", room);
        node.setAttribute("lengthAdjust", "spacingAndGlyphs");
      }
      return node;
    });
  }

  function breaks() {
    const taken = []; // how far each row is written
    return model.get("breaks").map(([across, text]) => {
      const length = pen.measureText(text).width;
      const after = across * width + BESIDE_LINE_PX;
      const fits = after + length <= width;
      const start = fits ? after : Math.max(0, after - 2 * BESIDE_LINE_PX - length);
      let row = taken.findIndex((end) => end < start);
      if (row < 0) row = taken.length;
      taken[row] = start + length;
      return written(text, start, (ROOM_EM + row * LINE_EM) * size, "start", "break-label");
    });
  }

  function draw() {
    if (!width || !size) return;
    pen.font = `${size}px ${getComputedStyle(letter).fontFamily}`;
    drawing.replaceChildren(...ticks(), ...names(), ...breaks());
  }

  const observer = new ResizeObserver((entries) => {
    for (const { target, contentRect } of entries) {
      if (target === letter) size = contentRect.height;
      else ({ width, height } = contentRect);
    }
    draw();
  });
  observer.observe(el);
  observer.observe(letter);
  model.on("change:ticks change:names change:breaks", draw);
  return () => observer.disconnect();
}

export default { render };
