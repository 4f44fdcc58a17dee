// Keeps the reader's choice in the page's address, and tells Python now and then that somebody is looking.

const LOOK_MS = 20000;
const AFTER_DRAWING_MS = 100; // what the reader waits for comes first
const REPEAT_MS = 1500; // what is said while the page is still starting may not be heard
const MOST_REPEATS = 20;

function render({ model, el }) {
  const ownPage = document.body.dataset.voila !== undefined;

  function root() {
    return el.closest(".station-explorer");
  }

  function write() {
    const address = model.get("address");
    if (ownPage && address !== location.hash.slice(1)) {
      history.replaceState(null, "", address ? `#${address}` : location.pathname + location.search);
    }
    document.title = model.get("title") || document.title;
  }

  let due = 0;

  function writeSoon() {
    clearTimeout(due);
    due = setTimeout(write, AFTER_DRAWING_MS);
  }

  function dress() {
    const page = root();
    if (!page) return;
    page.classList.toggle("large-text", model.get("text_size") === "large");
    for (const theme of ["light", "dark"]) {
      document.body.classList.toggle(`explorer-${theme}`, model.get("theme") === theme);
    }
  }

  let repeat = 0;

  function read(left = MOST_REPEATS) {
    clearTimeout(repeat);
    if (!ownPage || left === 0) return;
    model.send({ address: location.hash.slice(1) });
    repeat = setTimeout(() => read(left - 1), REPEAT_MS);
  }

  function heard() {
    clearTimeout(repeat);
  }

  function turned() {
    read();
  }

  function look() {
    if (!document.hidden) model.send({ look: true });
  }

  const timer = setInterval(look, LOOK_MS);
  document.addEventListener("visibilitychange", look);
  addEventListener("hashchange", turned);
  model.on("msg:custom", heard);
  model.on("change:address change:title", writeSoon);
  model.on("change:text_size change:theme", dress);
  requestAnimationFrame(dress);
  if (ownPage && location.hash.length > 1) read();
  return () => {
    clearInterval(timer);
    clearTimeout(repeat);
    clearTimeout(due);
    document.removeEventListener("visibilitychange", look);
    removeEventListener("hashchange", turned);
  };
}

export default { render };
